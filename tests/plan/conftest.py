"""What all tests here start from."""

from tests.compiled_first import _compiled_search as _compiled_search
