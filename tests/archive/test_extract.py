"""A plan out of a PDF is the plan that went in, whatever the PDF and wherever the garden lies.

Files are read back by pypdf too, which is not ours; hostile ones are made with it.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf
import pytest
from pypdf.generic import NameObject, StreamObject

import renderer
from renderer.archive.carried import PLAN_REMARK, Carried, plan_text
from renderer.archive.extract import Recovered, recover
from renderer.archive.names import is_safe, plan_name
from renderer.cli import main
from renderer.output.pdf import write_pdf
from renderer.plan import Plan, PlanError, digest, dump, load, loads, short_code
from renderer.plan.files import BYTES_MAX
from renderer.primitives import Document, Page
from tests.plans import ROOT, demo_plans, example_plans, moved
from tests.shared import print_sheets

BARE = write_pdf(Document((Page(50.0, 50.0, ()),), "Bare"))
PLANS = [*demo_plans(), *example_plans()]
GRID = (5_412_000.0, 3_456_000.0)


def printed(plans: Iterable[Plan], *, whole: bool, place: bool = True) -> bytes:
    """An empty page with which the plans go along."""
    document = Document((Page(50.0, 50.0, ()),), "Empty")
    return write_pdf(replace(document, attachments=Carried(tuple(plans), whole, place)))


def put(folder: Path, data: bytes) -> str:
    path = folder / "print.pdf"
    path.write_bytes(data)
    return str(path)


def recovered_from(path: str) -> Recovered:
    return recover([path])


def attached(data: bytes) -> dict[str, bytes]:
    found = pypdf.PdfReader(BytesIO(data)).attachments
    return {name: held for name, (held,) in found.items()}


@pytest.mark.parametrize("whole", [True, False], ids=["whole", "owner"])
@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.name)
def test_the_plan_comes_back_with_its_code(path: Path, whole: bool, tmp_path: Path) -> None:
    plan = load(path)
    data = printed([plan], whole=whole)
    recovered = recovered_from(put(tmp_path, data))
    assert recovered.files == attached(data)
    (found,) = recovered.plans
    assert (found.number, found.code) == (plan.job.number, short_code(digest(plan)))
    if whole:
        texts = {held.decode() for held in recovered.files.values()}
        assert path.read_text("utf-8") in texts


@pytest.mark.parametrize("turn", [0.0, 0.7])
@pytest.mark.parametrize("units", ["m", "ft"])
def test_a_garden_turned_mirrored_on_a_grid_and_in_feet(
    units: str, turn: float, tmp_path: Path
) -> None:
    path = next(path for path in PLANS if path.name.startswith("old-smithy"))
    held = dump(load(path))
    wire = held.pop("wire")  # two lengths of spools are no point
    held = moved(held, turn, bool(turn), GRID if turn else (0.0, 0.0))
    plan = loads(json.dumps({**held, "wire": wire, "units": units}))
    for whole in (True, False):
        (found,) = recovered_from(put(tmp_path, printed([plan], whole=whole))).plans
        assert found.code == short_code(digest(plan))


def test_a_plan_made_by_code_is_written_as_it_was_read() -> None:
    plan = load(PLANS[0])
    changed = plan.model_copy(update={"north": 12.5})
    assert not changed.source.files
    ((name, held),) = attached(printed([changed], whole=True)).items()
    assert name == plan_name(plan.job.number)
    assert loads(held.decode()) == changed
    assert held.decode() == plan_text(changed, PLAN_REMARK)


def test_what_was_built_goes_along_and_comes_back(tmp_path: Path) -> None:
    held = dump(load(ROOT / "demo/practice-lawn.plan.yaml"))
    held["as_built"] = {"date": "2026-06-10", "by": "Van 2", "moved": [{"peg": "2", "offset": 0.1}]}
    plan = loads(json.dumps(held))
    for whole in (True, False):
        recovered = recovered_from(
            put(tmp_path, printed([renderer.prepare(plan).written], whole=whole))
        )
        (found,) = recovered.plans
        again = loads(recovered.files[found.name].decode())
        assert again.as_built == plan.as_built
        assert renderer.prepare(again).digest == renderer.prepare(plan).digest


@pytest.mark.parametrize(
    "line",
    ["machine: ../lib/machine.yaml  # ours", "machine: '../lib/machine.yaml'"],
)
def test_a_machine_from_another_folder_lies_beside_the_plan(line: str, tmp_path: Path) -> None:
    (tmp_path / "lib").mkdir()
    (tmp_path / "jobs").mkdir()
    (tmp_path / "lib/machine.yaml").write_bytes((ROOT / "demo/machine.yaml").read_bytes())
    text = (ROOT / "demo/practice-lawn.plan.yaml").read_text("utf-8")
    path = tmp_path / "jobs/garden.plan.yaml"
    path.write_text(text.replace("machine: machine.yaml", line), "utf-8")
    plan = load(path)
    recovered = recovered_from(put(tmp_path, printed([plan], whole=True)))
    assert sorted(recovered.files) == ["FH-100.plan.yaml", "machine.yaml"]
    own = recovered.files["FH-100.plan.yaml"].decode()
    assert own == path.read_text("utf-8").replace(line.split()[1], '"machine.yaml"')


def test_jobs_of_a_day_share_a_machine_and_keep_others_apart(tmp_path: Path) -> None:
    paths = [tmp_path / "north", tmp_path / "south"]
    plans = [load(path) for path in PLANS[:2]]
    for folder in paths:
        folder.mkdir()
        machine = (ROOT / "demo/machine.yaml").read_text("utf-8")
        (folder / "machine.yaml").write_text(f"{machine}# {folder.name}\n", "utf-8")
        text = (ROOT / "demo/practice-lawn.plan.yaml").read_text("utf-8")
        (folder / "a.plan.yaml").write_text(text.replace("FH-100", folder.name), "utf-8")
    plans += [load(folder / "a.plan.yaml") for folder in paths]
    recovered = recovered_from(put(tmp_path, printed(plans, whole=True)))
    assert [found.code for found in sorted(recovered.plans)] == [
        short_code(digest(plan)) for plan in sorted(plans, key=lambda plan: plan.job.number)
    ]
    machines = {name for name in recovered.files if "machine" in name}
    assert machines == {"machine.yaml", "north.machine.yaml", "south.machine.yaml"}


def test_the_owners_map_holds_no_private_word(tmp_path: Path) -> None:
    """In none of its streams, unfolded by pypdf, none of its strings and no text on its pages."""
    pymupdf = pytest.importorskip("pymupdf")
    secret = "Zanzibar"
    held = dump(load(ROOT / "demo/practice-lawn.plan.yaml"))
    held["job"] |= {
        "crew": f"{secret} 1",
        "access": f"{secret} 2",
        "customer": {"name": f"{secret} 3", "phone": f"{secret} 4"},
        "notes": [f"{secret} 5"],
    }
    held["acknowledged"] = [{"rule": "no-reserve", "by": secret, "reason": secret}]
    plan = loads(json.dumps(held))
    data = print_sheets([plan], layout="wiring-map")
    found = _everything(data)
    assert b"practice" in found.lower(), "what is not private can be found"
    written = [secret.encode(code) for code in ("ascii", "utf-16-be")]
    assert not any(each in found or each in data for each in written)
    assert secret not in "".join(page.get_text() for page in pymupdf.open(stream=data))
    order = _everything(print_sheets([plan], layout="crew-work-order"))
    assert order.count(secret.encode()) == 7, "and so can what goes along with the crew's sheets"
    (copy,) = recovered_from(put(tmp_path, data)).plans
    assert copy.code == short_code(digest(plan))


def _everything(data: bytes) -> bytes:
    """All streams of a PDF unfolded, and all its strings."""
    reader = pypdf.PdfReader(BytesIO(data))
    found: list[bytes] = []
    for number in range(1, int(reader.trailer["/Size"])):
        each = reader.get_object(number)
        if isinstance(each, StreamObject):
            found.append(each.get_data())
        found.append(repr(each).encode())
    return b"\n".join(found)


def test_printing_what_was_extracted_gives_the_same_bytes(
    tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    plan = load(ROOT / "demo/practice-lawn.plan.yaml")
    first = print_sheets([plan], layout="wiring-map")
    assert main(["extract", put(tmp_path, first), "-o", str(tmp_path / "back.yaml")]) == 0
    told = capsysbinary.readouterr().out.decode()
    assert told.endswith(f": FH-100 A {short_code(digest(plan))}\n")
    again = renderer.print_sheets([load(tmp_path / "back.yaml")], layout="wiring-map")
    assert again == first


def test_what_is_there_already_is_not_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = put(tmp_path, printed([load(PLANS[0])], whole=True))
    for _ in range(2):
        assert main(["extract", path, "-o", str(tmp_path)]) == 0, "the same may be written twice"
    machine = tmp_path / "machine.yaml"
    machine.write_text("label: mine\n", "utf-8")
    plans = list(tmp_path.glob("*.plan.yaml"))
    plans[0].unlink()
    assert main(["extract", path, "-o", str(tmp_path)]) == 2
    assert "another file of this name is there already" in capsys.readouterr().err
    assert machine.read_text("utf-8") == "label: mine\n"
    assert not plans[0].exists()


def _wrong(data: bytes, change: Any) -> bytes:
    writer = pypdf.PdfWriter(clone_from=BytesIO(data))
    change(writer)
    file = BytesIO()
    writer.write(file)
    return file.getvalue()


NAMES = ["../up.plan.yaml", "/tmp/a.plan.yaml", "C:a.plan.yaml", "con.plan.yaml", ".plan.yaml"]


@pytest.mark.parametrize("name", NAMES)
def test_a_name_that_leads_elsewhere_is_not_used(name: str, tmp_path: Path) -> None:
    held = (ROOT / "demo/practice-lawn.plan.yaml").read_bytes()
    assert not is_safe(name)
    data = _wrong(BARE, lambda made: made.add_attachment(name, held))
    with pytest.raises(PlanError, match="no plan goes along"):
        recovered_from(put(tmp_path, data))


def _bomb(size: int, rounds: int = 1) -> Any:
    def change(writer: pypdf.PdfWriter) -> None:
        data = b"\0" * size
        for _ in range(rounds):
            data = zlib.compress(data, 9)
        writer.add_attachment("a.plan.yaml", b"")
        for each in writer._objects:
            if isinstance(each, StreamObject) and each.get("/Type") == "/EmbeddedFile":
                each._data = data
                each[NameObject("/Filter")] = NameObject("/FlateDecode")

    return change


def test_what_unfolds_without_bound_is_refused(tmp_path: Path) -> None:
    large = put(tmp_path, _wrong(BARE, _bomb(70_000_000)))
    with pytest.raises(PlanError, match="unfolds to more"):
        recovered_from(large)
    with pytest.raises(PlanError, match="no plan goes along"):
        recovered_from(put(tmp_path, _wrong(BARE, _bomb(BYTES_MAX + 1))))


def test_a_pdf_that_is_locked_damaged_or_none(tmp_path: Path) -> None:
    data = printed([load(PLANS[0])], whole=True)
    locked = _wrong(data, lambda writer: writer.encrypt("secret"))
    for wrong, said in (
        (locked, "protected by a password"),
        (b"%PDF-1.7 and then nothing", "cannot be read"),
        (b"a text", "neither a PDF nor"),
        (BARE, "no plan goes along"),
    ):
        with pytest.raises(PlanError, match=said):
            recovered_from(put(tmp_path, wrong))


def test_a_plan_in_it_that_is_wrong_is_told(tmp_path: Path) -> None:
    def change(writer: pypdf.PdfWriter) -> None:
        writer.add_attachment("a.plan.yaml", b"plan: 1\njob: {number: A}\n")

    with pytest.raises(PlanError, match=r"the plan a\.plan\.yaml in it cannot be read"):
        recovered_from(put(tmp_path, _wrong(BARE, change)))


def test_sheets_for_a_class_carry_no_plan(tmp_path: Path) -> None:
    layout = (ROOT / "layouts/exercise.yaml").read_text("utf-8")
    own = tmp_path / "own.yaml"
    own.write_text(f"{layout}\nplan_file: whole\n", "utf-8")
    with pytest.raises(PlanError, match="do not say whose garden"):
        renderer.print_sheets([load(PLANS[0])], layout=str(own))


def test_the_identifier_goes_by_what_goes_along() -> None:
    names = {
        str(pypdf.PdfReader(BytesIO(data)).trailer["/ID"][0])
        for data in (printed([load(path)], whole=True) for path in PLANS[:2])
    }
    assert len(names) == 2
