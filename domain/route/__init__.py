"""The route: stages, guards on the order of work, and the plan with the fewest changes of set-up."""
