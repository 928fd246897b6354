"""The evening's memory: events in a log, each in its kitchen's sequence, on the disk before it is acknowledged."""
