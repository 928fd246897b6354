"""Honest about time: how long a step may take, what that leaves of a ``keeps``, when a course really lands."""
