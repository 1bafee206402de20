"""The one way of a form, the register of sheets, and the answers that all sheets share."""
