"""Options that do not go together are refused with what to do, before anything is started."""

from pathlib import Path

import pytest

from kitchen_timer.cli import main


@pytest.mark.parametrize(
    ("options", "cure"),
    [
        ([], "--kitchen DIR"),
        (["--demo", "--kitchen", "x"], "Leave out --kitchen"),
        (["--kitchen", "x", "--speed", "10"], "leave it out"),
        (["--kitchen", "x", "--fresh"], "leave it out"),
        (["--demo", "--speed", "0"], "Choose from 0.1"),
        (["--demo", "--speed", "1000"], "Choose from 0.1"),
        (["--demo", "--port", "70000"], "0 for a free one"),
    ],
)
def test_options_that_do_not_go_together_are_refused(
    options: list[str], cure: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["serve", *options]) == 2
    said = capsys.readouterr()
    assert cure in said.err
    assert said.out == ""


def test_a_kitchen_that_cannot_be_read_is_refused_with_every_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "kitchen.yaml").write_text("name: Skerrymoot\nstations: {fry: {name: Fry, cook: 1}}\n", "utf-8")
    assert main(["serve", "--kitchen", str(tmp_path), "--data", str(tmp_path / "data")]) == 2
    said = capsys.readouterr().err
    assert "kitchen.yaml:2" in said
    assert "cook" in said
    assert not (tmp_path / "data").exists()


def test_no_verb_says_which_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["nothing"])
    assert ended.value.code == 2
    said = capsys.readouterr().err
    assert all(verb in said for verb in ("serve", "plan", "check"))
