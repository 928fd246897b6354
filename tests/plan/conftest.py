"""What all tests here start from."""

from tests.compiled_first import compiled_search as compiled_search
