"""Commands from a cold start against a bare interpreter, and the memory that they hold."""

from __future__ import annotations

import statistics
import tempfile
from pathlib import Path

from benchmarks import gardens
from benchmarks.measure import command_cpu_s, peak_mb
from benchmarks.table import Table, figure

BARE = "bare interpreter"
IMPORTS = "bare, importing shapely, pydantic, canvas"
PRINT = "pegline print, small garden"
AGAIN = "the same again, kept by --cache"
COMMANDS = {
    BARE: (["-c", "pass"], BARE),
    "pegline --version": (["-m", "renderer", "--version"], BARE),
    "pegline --help": (["-m", "renderer", "--help"], BARE),
    IMPORTS: (["-c", "import shapely, pydantic, reportlab.pdfgen.canvas"], BARE),
}
MAIN = "from renderer.cli import main; main({arguments!r})"


def cold(rounds: int) -> list[Table]:
    """CPU time of each command over the one it is measured by, start and end included."""
    with tempfile.TemporaryDirectory() as folder:
        output = str(Path(folder) / "small.pdf")
        sheet = ["-m", "renderer", "print", str(gardens.SMALL), "-o", output]
        again = [*sheet, "--cache", str(Path(folder) / "kept")]
        commands = COMMANDS | {PRINT: (sheet, IMPORTS), AGAIN: (again, IMPORTS)}
        times: dict[str, list[float]] = {name: [] for name in commands}
        for turn in range(rounds + 1):
            for name, (arguments, _) in commands.items():
                spent = command_cpu_s(arguments)
                if turn:  # the first round compiles modules, and makes the print that is kept
                    times[name].append(spent)
    rows = []
    for name, (_, base) in commands.items():
        pairs = zip(times[name], times[base], strict=True)
        over = statistics.median(own / other for own, other in pairs)
        spent = 1000 * statistics.median(times[name])
        rows.append((name, figure(over), base, figure(spent)))
    return [Table("Cold start", ("command", "ratio", "to", "CPU ms"), tuple(rows))]


def memory() -> list[Table]:
    """The most memory that a fresh interpreter holds."""
    runs = {BARE: "", IMPORTS: COMMANDS[IMPORTS][0][1]}
    with tempfile.TemporaryDirectory() as folder:
        for path in (gardens.SMALL, gardens.LARGE):
            words = ["print", str(path), "--draft", "-o", str(Path(folder) / "sheet.pdf")]
            runs[f"pegline print, {gardens.name_of(path)}"] = MAIN.format(arguments=words)
        rows = tuple((name, figure(peak_mb(code))) for name, code in runs.items())
    return [Table("Memory", ("run", "peak MB"), rows)]
