"""What a kitchen writes and reads: kitchen.yaml, the book, orders, bookings; plan.json. Nothing else reads files."""

from kitchen_timer.files.booking_file import Booking, Bookings, read_bookings
from kitchen_timer.files.kitchen_files import read_kitchen
from kitchen_timer.files.order_file import Orders, question_of, read_orders, write_orders
from kitchen_timer.files.plan_json import plan_json

__all__ = [
    "Booking",
    "Bookings",
    "Orders",
    "plan_json",
    "question_of",
    "read_bookings",
    "read_kitchen",
    "read_orders",
    "write_orders",
]
