"""An axle and its wheels: the checklist, readings, scrapping and places."""
