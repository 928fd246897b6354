"""Whatever a file holds, it is read or refused with faults: never another error. Whatever was read can be written."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from kitchen_timer.files import read_bookings, read_kitchen, read_orders
from kitchen_timer.kitchen.problems import UnreadableFiles
from kitchen_timer.kitchen.seconds import read_duration, write_duration

SKERRYMOOT = Path(__file__).parents[2] / "config" / "skerrymoot"
KITCHEN, BOOK, _ = read_kitchen(SKERRYMOOT)

quick = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])

WORDS = """
name timezone stations pass hands equipment dish course plating components station keeps steps do takes usual least most
each on fits after allergens service now orders table in courses plates land qty asap hold gap bookings at covers
Europe/London 2026-11-27 19:30 2m -2m 5 0 1e400 .nan null true ~ brill all 0x1F 2026-13-45 << *a &a !x
18446744073709551616
"""
SCRAPS = [":", " ", "\n", "  ", "- ", "{", "}", "[", "]", ",", '"', "#"]
words = st.sampled_from(WORDS.split())
values = st.recursive(
    st.one_of(words, st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=12), st.dates()),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(words | st.text(max_size=8), inner)),
    max_leaves=25,
)


def written(value):
    from io import StringIO

    out = StringIO()
    YAML(typ="safe").dump(value, out)
    return out.getvalue()


def read_everything_from(tmp_path: Path, raw: bytes) -> None:
    folder = tmp_path / "kitchen"
    (folder / "book").mkdir(parents=True, exist_ok=True)
    for name in ("kitchen.yaml", "book/x.yaml", "orders.yaml"):
        (folder / name).write_bytes(raw)
    readings = (
        lambda: read_kitchen(folder),
        lambda: read_orders(folder / "orders.yaml", KITCHEN, BOOK),
        lambda: read_bookings(folder / "orders.yaml", KITCHEN),
    )
    for reading in readings:
        told = ["read"]
        try:
            reading()
        except UnreadableFiles as problem:
            told = [f"{fault.file} {fault}" for fault in problem.faults if fault.file and fault.cure]
            told = told if len(told) == len(problem.faults) else []
        assert told
        assert not any("pydantic" in text.lower() or "Input should" in text for text in told)


@quick
@given(raw=st.binary(max_size=200))
@example(raw=b"[" * 900)
@example(raw=b"{a: " * 3000)
@example(raw=b"- " * 4000)
@example(raw=b"&a [*a]")
@example(raw=b"a: &a {b: *a}\n")
@example(raw=b"%YAML 9.9\n---\na: 1\n")
@example(raw=b"a: !!binary \xc3\xa4\n")
@example(raw=b"a: !!int x\nb: !!float y\nc: !!timestamp z\nd: !!bool w\n")
@example(raw=b"service: !!timestamp 2026-02-31\norders: []\n")
@example(raw=b"a: " + b"9" * 6000)
@example(raw=b"{} {}")
@example(raw=b"? [a, b]\n: c\n? {a: 1}\n: d\n")
@example(raw=b"--- a\n--- b\n")
@example(raw=b"\x00")
@example(raw="a: \u2028b".encode())
def test_bytes_are_read_or_refused(tmp_path, raw):
    read_everything_from(tmp_path, raw)


@quick
@given(text=st.lists(words | st.sampled_from(SCRAPS), max_size=60))
def test_scraps_of_yaml_are_read_or_refused(tmp_path, text):
    read_everything_from(tmp_path, "".join(text).encode())


@quick
@given(value=values)
def test_any_values_are_read_or_refused(tmp_path, value):
    read_everything_from(tmp_path, written(value).encode("utf-8", "replace"))


@settings(quick, max_examples=40)
@given(data=st.data())
def test_a_true_file_with_one_value_exchanged_is_read_or_refused(tmp_path, data):
    file = data.draw(st.sampled_from(["kitchen.yaml", "book/brill.yaml", "evening.yaml", "bookings.yaml"]))
    whole = YAML(typ="safe").load(SKERRYMOOT / file)
    spot = whole
    while True:
        key = data.draw(st.sampled_from(sorted(spot) if isinstance(spot, dict) else range(len(spot))))
        deeper = spot[key]
        if not isinstance(deeper, (dict, list)) or not deeper or data.draw(st.booleans()):
            break
        spot = deeper
    spot[key] = data.draw(values)
    read_everything_from(tmp_path, written(whole).encode("utf-8", "replace"))


def test_aliases_that_unfold_without_end_are_refused(tmp_path):
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]" for i in range(1, 10)]
    path = tmp_path / "orders.yaml"
    path.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(UnreadableFiles, match="far too many values"):
        read_orders(path, KITCHEN, BOOK)


def test_a_kitchen_and_its_book_read_back_as_they_were_written(tmp_path):
    (tmp_path / "book").mkdir()
    yaml = YAML()
    yaml.dump(KITCHEN.model_dump(mode="json", by_alias=True), tmp_path / "kitchen.yaml")
    for name, dish in BOOK.items():
        yaml.dump(dish.model_dump(mode="json", by_alias=True), tmp_path / "book" / f"{name}.yaml")
    kitchen, book, _ = read_kitchen(tmp_path)
    assert (kitchen, book) == (KITCHEN, BOOK)


@given(st.integers(min_value=0, max_value=10**7))
def test_a_duration_reads_back_as_it_was_written(seconds):
    assert read_duration(write_duration(seconds)) == seconds
