"""The mandrel: the stub that carries a wheel by its bore while tread and flange are turned."""
