"""The text of a small kitchen.yaml, for tests that read files. Invented."""

KITCHEN = """\
name: Harbour Row
timezone: Europe/London
stations:
  plancha: {name: Plancha, cooks: 1}
  cold: {name: Cold, cooks: 1}
pass: {hands: 2}
equipment:
  plancha-top: {slots: 8}
  fryer: {slots: 2, recovery: 60s, cross_contact: true}
"""
