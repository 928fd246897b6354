"""What is different in a book that was edited while a service goes on."""

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.service.events import BookRead
from kitchen_timer.service.state import Evening


def book_edited(state: Evening, book: Book) -> BookRead | None:
    """The dishes that are new, otherwise or gone; None where the evening has the book as it is."""
    if state.service is None:
        return None
    changed = tuple(dish for key, dish in book.items() if state.book.get(key) != dish)
    gone = tuple(key for key in state.book if key not in book and key not in state.former)
    return BookRead(changed, gone) if changed or gone else None
