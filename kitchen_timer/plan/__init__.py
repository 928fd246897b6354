"""When to start what: a frozen question in, a checked answer out. Pure: no I/O, no clock, no web."""
