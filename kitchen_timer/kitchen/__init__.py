"""The nouns of a kitchen: dishes, stations, tables. Frozen, pure, no I/O."""
