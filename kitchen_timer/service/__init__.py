"""The evening as pure functions: command + state + now -> events, events -> state, state -> boards."""
