"""Tonight: the clock, the one door, the alarm and the planner's processes."""
