"""``python -m kitchen_timer.cli``."""

from kitchen_timer.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
