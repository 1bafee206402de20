"""What is true of a wheel, an axle and a build: asked by every sheet, guard and plan."""
