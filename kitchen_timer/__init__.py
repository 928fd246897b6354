"""Kitchen Timer: plans backwards from the landing, cues each station, replans when reality differs."""
