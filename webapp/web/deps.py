"""What handlers ask for: the data file, the device, and ids that fit the database."""

from typing import Annotated, cast

from fastapi import Depends, Path, Request

from webapp.db import Db

# SQLite's integers end at 2^63 - 1; a longer id would be an error of the database instead of a missing sheet.
Id = Annotated[int, Path(ge=1, le=2**63 - 1)]


# Both async: a plain `def` would be handed to a thread of its own, twice for each request.
async def get_db(request: Request) -> Db:
    """The open data file; which state of it is answered from stands in the request, before anything of it is read."""
    db = cast(Db, request.app.state.db)
    request.state.stand = db.stand()
    return db


async def get_device(request: Request) -> str:
    """The id of the device, known from its first request on."""
    return cast(str, request.state.device)


DbDep = Annotated[Db, Depends(get_db)]
DeviceDep = Annotated[str, Depends(get_device)]
