"""What the documents say is so: commands, paths, numbers."""

import ast
import re
from pathlib import Path

import pytest
import typer

from sim import __version__
from sim.cli import app
from sim.pages.debrief import DEBRIEF
from sim.procedure.rubric import shipped
from sim.session.envelope import ENVELOPE

ROOT = Path(__file__).resolve().parent.parent
DOCUMENTS = (
    *("README.md", "DEVELOPERS.md", "CHANGELOG.md", "assets/SOURCES.md"),
    *sorted(f"docs/{path.name}" for path in (ROOT / "docs").glob("*.md")),
)
COMMANDS = {
    "demo": "-e . && .venv/bin/dryhop demo",
    "tests": "-e '.[test]' && .venv/bin/python -m pytest -q -n auto",
}
MOST_LINES = 150  # lines; own: read in five minutes
MOST_PICTURE_BYTES = 150_000  # bytes; own: a page that opens at once
MADE_BY_RUNNING = (".venv", "runs", "dist")
UNFINISHED = r"\b(TODO|FIXME|XXX|TBD|placeholder|lorem|coming soon|to be written)\b"


def text(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def fenced(language: str) -> list[str]:
    """Return the code blocks of the README in one language."""
    return re.findall(rf"^```{language}\n(.*?)\n```$", text("README.md"), re.DOTALL | re.MULTILINE)


def command_rows() -> dict[str, str]:
    """Return the list of commands: name, the usage beside it."""
    usages = re.findall(r"^\| `dryhop ([^`]+)` \|", text("docs/commands.md"), re.MULTILINE)
    return {re.match(r"[a-z-]+(?: [a-z]+)*", usage)[0]: usage for usage in usages}  # type: ignore[index]


def commands():
    """Return every command by its name, those of a group behind the group's name."""
    found = dict(typer.main.get_command(app).commands)  # type: ignore[attr-defined]
    for name, group in list(found.items()):
        for inner, command in getattr(group, "commands", {}).items():
            found[f"{name} {inner}"] = command
    return found


def options(name: str) -> set[str]:
    """Return the long options a command shows; of a pair, the one that changes something."""
    found = set()
    for p in (p for p in commands()[name].params if not getattr(p, "hidden", False)):
        found.update(p.secondary_opts if p.default is True and p.secondary_opts else p.opts)
    return {o for o in found if o.startswith("--")} - {"--help"}


@pytest.mark.parametrize("ending", COMMANDS.values(), ids=COMMANDS)
def test_a_linux_command_is_one_line_from_nothing(ending):
    whole = f"python3 -m venv .venv && .venv/bin/pip install -q {ending}"
    assert fenced("sh").count(whole) == 1


@pytest.mark.parametrize("ending", COMMANDS.values(), ids=COMMANDS)
def test_the_windows_form_says_the_same(ending):
    there = ending.replace("'", "").replace(".venv/bin/", ".venv\\Scripts\\")
    whole = f'cmd /c "py -m venv .venv && .venv\\Scripts\\pip install -q {there}"'
    assert fenced("bat").count(whole) == 1


def test_ci_takes_its_commands_from_the_readme():
    script = text(".ci/run")
    assert "readme 'pytest -q -n auto'" in script
    assert "readme 'dryhop demo'" in script
    assert (ROOT / ".ci" / "run").stat().st_mode & 0o111


def test_the_command_list_is_that_of_the_program():
    assert set(command_rows()) == set(commands())


@pytest.mark.parametrize("name", command_rows())
def test_a_command_is_shown_with_its_options(name):
    assert set(re.findall(r"--[a-z-]+", command_rows()[name])) == options(name)


def named_paths(name: str) -> set[str]:
    """Return what looks like a path of the repository among the words set as code."""
    prose = re.sub(r"^```.*?^```$", "", text(name), flags=re.DOTALL | re.MULTILINE)
    words = {w for span in re.findall(r"`([^`]+)`", prose) for w in span.split()}
    ended = re.compile(r"[\w.*-]+\.(md|toml|py)|LICENSE")
    return {
        w
        for w in words
        if ("/" in w or ended.fullmatch(w))
        and re.fullmatch(r"[\w.*/-]+", w)
        and "NAME" not in w
        and w.split("/")[0] not in MADE_BY_RUNNING
    }


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_path_named_exists(name):
    home = ROOT / "assets" if name.startswith("assets") else ROOT
    gone = [p for p in named_paths(name) if not (home / p).exists() and not (ROOT / p).exists()]
    assert not gone


def test_paths_are_found_at_all():
    assert {"LICENSE", "assets/SOURCES.md", "DEVELOPERS.md"} <= named_paths("README.md")
    assert {"sim/kernel", "sim/cli.py", ".ci/run"} <= named_paths("DEVELOPERS.md")


@pytest.mark.parametrize("name", DOCUMENTS)
def test_nothing_is_left_unfinished(name):
    assert not re.findall(UNFINISHED, text(name), re.IGNORECASE)


def test_every_name_in_the_developers_guide_is_in_the_code():
    """Words set as code that look like a name of ours: CONSTANTS, ClassNames, lower_case."""
    source = "\n".join(
        path.read_text(encoding="utf-8")
        for folder in ("sim", "tools", "tests/authority")
        for path in (ROOT / folder).rglob("*.py")
    )
    words = re.findall(r"`([A-Z][A-Za-z]+|[A-Z]{3,}|[a-z]+_[a-z_]+)`", text("DEVELOPERS.md"))
    unknown = {w for w in words if not re.search(rf"\b{w}\b", source)}
    assert not unknown


def test_the_readme_is_short():
    assert len(text("README.md").splitlines()) <= MOST_LINES


def test_the_readme_names_every_document():
    assert set(DOCUMENTS) - {"README.md"} <= named_paths("README.md")


def test_the_pictures_of_the_readme_are_there_and_light():
    pictures = re.findall(r"^!\[[^\]]{20,}\]\(([^)]+)\)", text("README.md"), re.MULTILINE)
    assert len(pictures) == len(list((ROOT / "docs").glob("*.webp"))) == 2
    assert all(0 < (ROOT / name).stat().st_size <= MOST_PICTURE_BYTES for name in pictures)


@pytest.mark.parametrize("name", [n for n in DOCUMENTS if n != "docs/detection.md"])
def test_no_document_counts_by_hand(name):
    """What a command can print is not written down, where it would grow stale."""
    things = "faults|checks|cards|drills|rows|quantities|labels|objective tests"
    assert not re.findall(rf"\b\d+ (?:{things})\b", text(name).lower())


def test_the_changelog_starts_with_this_version():
    assert text("CHANGELOG.md").split("## ")[1].startswith(__version__)


def test_every_asset_has_its_origin_noted():
    sources = text("assets/SOURCES.md")
    files = [p for p in (ROOT / "assets").rglob("*") if p.is_file() and p.name != "SOURCES.md"]
    missing = [
        p.name for p in files if f"`{p.relative_to(ROOT / 'assets').as_posix()}`" not in sources
    ]
    assert files
    assert not missing


def test_the_rubric_is_the_one_explained():
    rubric, explained = shipped(), text("docs/scoring.md")
    rungs = rubric.rungs
    for share in (rungs.noticed, rungs.named, rungs.cleared, rungs.proved):
        assert f"{share:.2f}" in explained
    shares = rubric.shares
    points = (round(100 * s) for s in (shares.ladder, shares.conduct, shares.hop))
    assert "{} for faults, {} for conduct, {} for the hop".format(*points) in explained
    assert re.search(rf"at least\s+{rubric.pass_points:.0f} points", explained)
    assert f"hazard {rubric.dangerous_from} or 5" in explained


def test_the_run_folder_is_that_of_the_code():
    modules = ("journal", "attempt", "envelope", "signed")
    source = "".join(text(f"sim/session/{name}.py") for name in modules)
    constants = {
        node.value.value
        for node in ast.parse(source).body
        if isinstance(node, ast.Assign)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
        and "." in node.value.value
    }
    pattern = r"^\| `(\w+\.(?:yaml|jsonl|csv|json|html))` \|"
    told = text("docs/commands.md")
    assert set(re.findall(pattern, told, re.MULTILINE)) == constants - {ENVELOPE} | {DEBRIEF}
    assert f"`{ENVELOPE}`" in told
