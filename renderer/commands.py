"""What each command of ``pegline`` does, once its arguments are read; gives its exit code."""

from __future__ import annotations

import os
from dataclasses import replace
from itertools import compress
from pathlib import Path
from typing import TYPE_CHECKING, Any

import renderer
from renderer.explain import Usage, explanations
from renderer.output import BACKENDS
from renderer.terminal import (
    EXIT_FINE,
    EXIT_INVALID,
    EXIT_STOPPED,
    Bar,
    answer,
    complain,
    read_in,
    report_written,
    write_out,
)

if TYPE_CHECKING:
    import argparse
    from collections.abc import Container, Iterable, Iterator, Sequence

    from renderer.archive.extract import Recovered
    from renderer.check_report import Told
    from renderer.fault import Search
    from renderer.findings_text import FindingText
    from renderer.ground.lay import LoopLay
    from renderer.job import Job
    from renderer.kept_prints import Kept
    from renderer.output.files import Fill
    from renderer.plan.day import DayPlan
    from renderer.plan.errors import PlanError
    from renderer.plan.model import Plan
    from renderer.preview import Desk, Server
    from renderer.primitives import Document

STANDARD = "-"  # standard input or output, where a file is named
WITH_PLACES = ("plain", "sarif")  # forms of a report that name lines of the files
LESSON_SET = "class-set"
SHARED_FROM = 8  # jobs of a pack from which sharing them among processes pays


def run_check(arguments: argparse.Namespace) -> int:
    """Findings of each job, worst first; a job that cannot be read does not hide the others."""
    from renderer.language import require_language
    from renderer.text import require_all

    language = arguments.language or "en"
    require_language(language)
    if arguments.explain is not None:
        return _run_explain(arguments, language)
    code = EXIT_FINE
    form = "json" if arguments.json else arguments.format
    reports: list[tuple[str, Job]] = []
    texts: dict[str, str] = {}
    told: list[Told] = []
    for path in arguments.jobs:
        try:
            plan, texts[path] = _read(path)
            require_all(plan.model_dump(), f"plan {plan.job.number}")
            job = renderer.prepare(plan, as_planned=arguments.as_planned)
            findings = job.findings
        except Exception as error:
            told += _told_of(path, error, form)
            code = EXIT_INVALID
            continue
        if any(finding.level == "stop" for finding in findings):
            code = max(code, EXIT_STOPPED)
        reports.append((path, job))
    _report(reports, texts, told, form, language)
    return code


def _read(path: str) -> tuple[Plan, str]:
    """The plan in a file, or for ``-`` in standard input, and its text. Raises PlanError."""
    from renderer.plan import loads
    from renderer.plan.files import BYTES_MAX, text_in, text_of

    if path != STANDARD:
        return renderer.load(path), text_of(path)
    text = text_in(read_in(BYTES_MAX), STANDARD)
    return loads(text, STANDARD), text


def _told_of(path: str, error: Exception, form: str) -> Sequence[Told]:
    """What is wrong with a file, as part of a report that has places; else it is complained of."""
    from renderer.check_report import of_error

    lines = explanations(error, [path] if os.path.isfile(path) else ())
    if form in WITH_PLACES:
        return of_error(path, error, lines[0])
    for line in lines:
        complain(line)
    return ()


def _report(
    reports: list[tuple[str, Job]],
    texts: dict[str, str],
    told: Sequence[Told],
    form: str,
    language: str,
) -> None:
    if form == "json":
        write_out(_json(_check_json(reports, language)))
    elif form in WITH_PLACES:
        from renderer.check_report import of_job, plain, sarif

        every = list(told)
        for path, job in reports:
            every += of_job(path, texts[path], job, language)
        if form == "plain":
            write_out(plain(every))
        else:
            write_out(_json(sarif(every, renderer.__version__, language)))
    else:
        write_out("\n".join(_check_text(path, job, language) for path, job in reports))


def _run_explain(arguments: argparse.Namespace, language: str) -> int:
    """What one rule looks at, why it matters and what to do; or each rule with its reason."""
    from renderer.findings_text import explained, listed

    if arguments.jobs or arguments.json or arguments.format != "text":
        raise Usage("--explain is about rules only; leave out plan files, --format and --json")
    if not arguments.explain:
        write_out("".join(f"{line}\n" for line in listed(language)))
        return EXIT_FINE
    try:
        lines = explained(arguments.explain, language)
    except LookupError as unknown:
        raise Usage(str(unknown.args[0])) from None
    write_out("".join(f"{line}\n" for line in lines))
    return EXIT_FINE


def run_lay(arguments: argparse.Namespace) -> int:
    """The laid wire as JSON, or as a file for another program by its ending."""
    from renderer.formats.exports import WRITERS

    job = _prepared(arguments)
    to_file = arguments.output not in (None, "-")
    if to_file:
        _require_no_input(arguments.output, arguments.job)
    ending = _ending(arguments.output, ("json", *WRITERS)) if to_file else "json"
    if arguments.staking and ending != "csv":
        raise Usage("--staking makes a table; write it to a .csv file")
    data = _laid(job, ending, arguments.job, arguments.staking)
    if to_file:
        _write_file(arguments.output, data)
        report_written(arguments.output)
    else:
        write_out(data.decode())
    return EXIT_FINE


def _prepared(arguments: argparse.Namespace) -> Job:
    """The job of a plan file, as built where it says so and is not asked for as planned."""
    return renderer.prepare(_read(arguments.job)[0], as_planned=arguments.as_planned)


def _laid(job: Job, ending: str, path: str, staking: bool) -> bytes:
    """The bytes of one of the files that ``lay`` writes."""
    if ending == "json":
        from renderer.report import lay_json

        return _json(lay_json(job)).encode()
    if staking:
        from renderer.formats.csv_out import write_staking

        return write_staking(job)
    from renderer.formats.exports import export

    return export(job, ending, path)


def run_survey(arguments: argparse.Namespace) -> int:
    """The adjusted points of a plan's survey, its suspects, and what to measure next."""
    from renderer.plan.reader import load_survey
    from renderer.survey_report import survey_json, survey_text

    number, solution, units = load_survey(arguments.job)
    if solution is None:
        raise Usage(
            f"{arguments.job}: survey holds no readings; add ties, sides, offsets or a traverse"
        )
    if arguments.json:
        write_out(_json(survey_json(solution)))
    else:
        write_out(survey_text(arguments.job, number, solution, units))
    return EXIT_STOPPED if solution.suspects else EXIT_FINE


def run_compare(arguments: argparse.Namespace) -> int:
    """What has moved, come and gone from one plan to another."""
    from renderer.compare import compare
    from renderer.compare_report import compare_json, compare_text

    new_path = arguments.new or arguments.old
    new = renderer.prepare(renderer.load(new_path))
    old = new.as_planned
    if arguments.new is not None:
        old = renderer.prepare(renderer.load(arguments.old))
    if arguments.output is not None:
        return _compare_sheets(arguments, old, new)
    found = compare(old, new)
    if arguments.json:
        write_out(_json(compare_json(found)))
    else:
        write_out(compare_text(arguments.old, new_path, found))
    return EXIT_FINE


def _compare_sheets(arguments: argparse.Namespace, old: Job, new: Job) -> int:
    """What has changed as sheets, or the first of them as a drawing."""
    if arguments.json:
        raise Usage("--json goes to standard output; leave out -o")
    ending = _ending(arguments.output, ("pdf", *(each for each in BACKENDS if each != "pdf")))
    for path in (arguments.old, arguments.new or arguments.old):
        _require_no_input(arguments.output, path)
    document = renderer.compare_sheets(
        old,
        new,
        renderer.PrintOptions(
            layout=arguments.layout,
            paper=arguments.paper,
            scale=arguments.scale,
            language=arguments.language,
            ink=arguments.ink,
        ),
    )
    if ending == "pdf":
        from renderer.output.pdf import write_pdf_to

        _write_file(arguments.output, lambda file: write_pdf_to(file, document))
        report_written(arguments.output, len(document.pages))
        return EXIT_FINE
    from renderer.output import writer
    from renderer.primitives import Drawing

    page = document.pages[0]
    first = Drawing(page.width_mm, page.height_mm, page.items, title=document.title)
    _write_file(arguments.output, writer(ending)(first, document.language))
    report_written(arguments.output)
    return EXIT_FINE


def run_fault(arguments: argparse.Namespace) -> int:
    """What may be the matter with a loop, by its reading, and where to measure next."""
    from renderer.fault import causes
    from renderer.fault_report import Fault, fault_json, fault_text

    ohms = _ohms(arguments.reads)
    if not -40.0 <= arguments.temperature <= 60.0:
        raise Usage(f"--temperature {arguments.temperature:g}: write degrees Celsius, such as 14")
    job = _prepared(arguments)
    loop = _loop_of(job, arguments.loop)
    found = causes(job.readings, loop, ohms, arguments.temperature)
    is_open = found[0].kind == "open"
    if arguments.at and not is_open:
        raise Usage("--at goes with --reads open: only a break is found by halves")
    search = _search(job, loop, arguments.at) if is_open else None
    if arguments.output is not None:
        return _fault_leaf(arguments, job, loop, ohms)
    fault = Fault(job, loop, ohms, arguments.temperature, found, search)
    if arguments.json:
        write_out(_json(fault_json(fault)))
    else:
        write_out(fault_text(arguments.job, fault))
    return EXIT_FINE


def _fault_leaf(arguments: argparse.Namespace, job: Job, loop: LoopLay, ohms: float | None) -> int:
    """The same as a leaf to take along."""
    from renderer.fault import Asked
    from renderer.fault_report import answered, places_named
    from renderer.output.pdf import write_pdf_to

    if arguments.json:
        raise Usage("--json goes to standard output; leave out -o")
    _ending(arguments.output, ("pdf",))
    _require_no_input(arguments.output, arguments.job)
    answers = answered(arguments.at, [name for name, _ in places_named(job, loop)])
    options = renderer.PrintOptions(
        layout=arguments.layout,
        paper=arguments.paper,
        scale=arguments.scale,
        language=arguments.language,
        ink=arguments.ink,
    )
    asked = Asked(loop.name, ohms, arguments.temperature, answers)
    document = renderer.fault_sheets(job, asked, options)
    _write_file(arguments.output, lambda file: write_pdf_to(file, document))
    report_written(arguments.output, len(document.pages))
    return EXIT_FINE


def _ohms(text: str) -> float | None:
    """What the meter reads; nothing for an open loop. Raises Usage."""
    import math

    if text == "open":
        return None
    try:
        ohms = float(text.replace(",", "."))
    except ValueError:
        ohms = math.nan
    if not (math.isfinite(ohms) and ohms >= 0.0):
        raise Usage(f"--reads {text}: write ohms, such as 4.17, or open")
    return ohms


def _loop_of(job: Job, name: str | None) -> LoopLay:
    """The loop that a reading is of. Raises Usage."""
    names = [loop.name for loop in job.lay.loops]
    if not names:
        raise Usage("no loop of this plan can be laid; see pegline check")
    if name is None and len(names) > 1:
        raise Usage(f"there are several loops; add --loop with one of {', '.join(names)}")
    if name not in (None, *names):
        raise Usage(f"--loop {name}: no such loop; use one of {', '.join(names)}")
    return job.loop_of(name or names[0])


def _search(job: Job, loop: LoopLay, at: Sequence[str]) -> Search:
    """The search for a break by what was tested so far. Raises Usage."""
    from renderer.fault.search import Contradiction, search
    from renderer.fault_report import answered, places_named

    places = places_named(job, loop)
    try:
        return search(loop, places, answered(at, [name for name, _ in places]))
    except (ValueError, Contradiction) as error:
        raise Usage(str(error)) from None


def run_extract(arguments: argparse.Namespace) -> int:
    """The plan files that go along in a print, written to a folder; names each with its code."""
    from renderer.archive.extract import recover

    recovered = recover(arguments.files)
    paths = _places(recovered, arguments.output)
    for name, path in paths.items():
        if os.path.exists(path) and not _holds(path, recovered.files[name]):
            raise Usage(f"{path}: another file of this name is there already; name another folder")
    for name, path in paths.items():
        _write_file(path, recovered.files[name])
        report_written(path)
    told = (
        f"{paths[plan.name]}: {plan.number} {plan.revision} {plan.code}" for plan in recovered.plans
    )
    write_out("".join(f"{line}\n" for line in told))
    return EXIT_FINE


def _places(recovered: Recovered, output: str) -> dict[str, str]:
    """The path of each file, in the folder or beside the plan's own path that was asked for."""
    if Path(output).suffix.lower() not in (".yaml", ".yml", ".json") or os.path.isdir(output):
        return {name: os.path.join(output, name) for name in recovered.files}
    if len(recovered.plans) > 1:
        names = ", ".join(plan.name for plan in recovered.plans)
        raise Usage(f"{output}: there are several plans, {names}; name a folder for them")
    folder = os.path.dirname(output)
    paths = {name: os.path.join(folder, name) for name in recovered.files}
    return paths | {recovered.plans[0].name: output}


def _holds(path: str, data: bytes) -> bool:
    try:
        with open(path, "rb") as file:
            return file.read(len(data) + 1) == data
    except OSError:
        return False


def run_draw(arguments: argparse.Namespace) -> int:
    """One scaled diagram in the format that the file's ending names."""
    ending = _ending(arguments.output, tuple(BACKENDS))
    data = renderer.draw(
        _prepared(arguments),
        ending,
        paper=arguments.paper,
        scale=arguments.scale,
        language=arguments.language or "en",
        ellipses=arguments.ellipses,
        ink=arguments.ink,
    )
    _write_file(arguments.output, data)
    report_written(arguments.output)
    return EXIT_FINE


def run_print(arguments: argparse.Namespace) -> int:
    """The sheets as a PDF, or the findings that stop them."""
    if arguments.class_size is not None or arguments.seed is not None or arguments.lesson_set:
        return run_class(arguments)
    if arguments.key:
        raise Usage(f"{arguments.key}: --key needs --class; only exercises have an answer key")
    _ending(arguments.output, ("pdf",))
    if arguments.cache is not None:
        return _print_or_find(arguments)
    document, bad = _sheets(arguments)
    if document is None:
        return EXIT_STOPPED
    from renderer.output.pdf import write_pdf_to

    _write_file(arguments.output, lambda file: write_pdf_to(file, document))
    return _printed(arguments, document, bad)


def run_preview(arguments: argparse.Namespace) -> int:
    """Shows a job in a browser on this machine until the command is interrupted."""
    import signal
    from contextlib import suppress

    from renderer.language import require_language
    from renderer.plan.files import is_day_file, text_of
    from renderer.preview import Asked, Desk, Server

    if is_day_file(arguments.job):
        raise Usage(f"{arguments.job}: preview shows one job; name a plan of that day")
    text_of(arguments.job)  # one that is not there is refused at once
    language = arguments.language or "en"
    require_language(language)
    options = renderer.PrintOptions(
        layout=arguments.layout,
        paper=arguments.paper,
        scale=arguments.scale,
        language=arguments.language,
        ink=arguments.ink,
    )
    signal.signal(signal.SIGINT, signal.default_int_handler)  # the usual way to end it, no error
    desk = Desk(Asked(arguments.job, options, language), renderer.compose_sheets)
    try:
        with _listening(Server, desk, arguments.port) as server, suppress(KeyboardInterrupt):
            write_out(f"{server.address}\n")
            complain("open this address in the browser; Ctrl+C ends the preview")
            if arguments.open:
                import webbrowser

                webbrowser.open(server.address)
            server.serve_forever()
    finally:
        desk.close()
    return EXIT_FINE


def _listening(server: type[Server], desk: Desk, port: int) -> Server:
    """A server that has its port. Raises Usage where another program has it."""
    try:
        return server(desk, renderer.DEFAULT_LAYOUT, port)
    except OSError as error:
        cure = "leave --port out to take a free one"
        raise Usage(f"--port {port}: {error.strerror}; {cure}") from None


def _print_or_find(arguments: argparse.Namespace) -> int:
    """The sheets as they were kept from the same job unchanged, else printed and kept."""
    from renderer.kept_prints import Kept, request

    kept, asked = Kept(arguments.cache, renderer.__version__), request(arguments)
    found = kept.find(asked)
    if found is None:
        return _print_and_keep(arguments, kept, asked)
    _write_file(arguments.output, found.pdf)
    report_written(arguments.output, found.pages)
    return EXIT_FINE


def _print_and_keep(arguments: argparse.Namespace, kept: Kept, asked: str) -> int:
    """Prints, and keeps a print that is whole; one that cannot be kept is a print all the same."""
    import shutil
    import tempfile

    from renderer.inputs import noted
    from renderer.output.files import OutputError

    with noted() as read:
        document, bad = _sheets(arguments)
    if document is None:
        return EXIT_STOPPED
    from renderer.output.pdf import write_pdf_to

    with tempfile.TemporaryFile() as pdf:
        write_pdf_to(pdf, document)
        pdf.seek(0)
        _write_file(arguments.output, lambda file: shutil.copyfileobj(pdf, file))
        try:
            if not bad:
                kept.keep(asked, read, pdf, len(document.pages))
        except OutputError as error:
            complain(f"printed but not kept: {error}")
    return _printed(arguments, document, bad)


def _printed(arguments: argparse.Namespace, document: Document, bad: list[str]) -> int:
    report_written(arguments.output, len(document.pages))
    if bad:
        complain(f"not in {arguments.output}: {', '.join(bad)}")
        return EXIT_STOPPED
    return EXIT_FINE


def _sheets(arguments: argparse.Namespace) -> tuple[Document | None, list[str]]:
    """The sheets, none where findings stop them, which are told; and the jobs that are left out."""
    day, plans, bad = _jobs(arguments.jobs, arguments.keep_going)
    while True:
        try:
            return _composed(arguments, day, plans), bad
        except renderer.Refused as refused:
            lost = _stopped(refused)
            if not arguments.keep_going or len(lost) == len(plans):
                complain("not printed; use --draft to print it with a mark on every page")
                return None, bad
        except Exception:
            lost = _not_drawn(arguments, day, plans) if arguments.keep_going else []
            if not 0 < len(lost) < len(plans):
                raise
        day, plans = _without(lost, day, plans)
        bad = [*bad, *lost]


def _stopped(refused: renderer.Refused) -> list[str]:
    """The numbers of the jobs that findings stop, each told with its findings."""
    for job, findings in refused.stops:
        for finding in findings:
            complain(f"{job}: {_sentences(finding)}")
    return sorted({job for job, _ in refused.stops})


def _not_drawn(
    arguments: argparse.Namespace, day: DayPlan | None, plans: Sequence[Plan]
) -> list[str]:
    """The numbers of the jobs that cannot be printed by themselves either, each told with why."""
    lost = []
    numbers = [plan.job.number for plan in plans]
    for number in numbers if len(numbers) > 1 else ():
        try:
            _composed(
                arguments, *_without([each for each in numbers if each != number], day, plans)
            )
        except renderer.Refused:
            pass  # told with the others of its kind
        except Exception as error:
            lost.append(number)
            for line in explanations(error):
                complain(f"{number}: {line}")
    return lost


def _composed(
    arguments: argparse.Namespace, day: DayPlan | None, plans: Sequence[Plan]
) -> Document:
    with Bar("printing") as bar:
        return renderer.compose_sheets(
            plans,
            _options(arguments),
            day=day,
            processes=arguments.processes or _processes_for(len(plans)),
            progress=bar.step if len(plans) > 1 else None,
        )


def _without(
    stopped: Container[str], day: DayPlan | None, plans: Sequence[Plan]
) -> tuple[DayPlan | None, Sequence[Plan]]:
    """The day and its plans without the jobs of some numbers."""
    stays = [plan.job.number not in stopped for plan in plans]
    if day is not None:
        day = day.model_copy(update={"jobs": tuple(compress(day.jobs, stays))})
    left = compress(plans, stays)
    return day, tuple(left) if len(plans) < SHARED_FROM else _spilt(left)


def _options(arguments: argparse.Namespace) -> renderer.PrintOptions:
    return renderer.PrintOptions(
        layout=arguments.layout,
        paper=arguments.paper,
        scale=arguments.scale,
        language=arguments.language,
        draft=arguments.draft,
        fields=arguments.fields,
        two_sided=None if arguments.sides is None else arguments.sides == 2,
        ink=arguments.ink,
        as_planned=arguments.as_planned,
        full=arguments.full,
    )


def _processes_for(jobs: int) -> int:
    """A process for each core where there are enough jobs to make up for starting them."""
    if jobs < SHARED_FROM:
        return 1
    from renderer.batch.workers import cores

    return cores()


def run_class(arguments: argparse.Namespace) -> int:
    """Different exercises from one plan in one file, their key in another."""
    from renderer.output.files import require_writable

    _ending(arguments.output, ("pdf",))
    _for_a_class(arguments)
    if len(arguments.jobs) != 1:
        raise Usage("--class makes exercises from one plan; name exactly one")
    output = Path(arguments.output)
    key = arguments.key or str(output.with_name(f"{output.stem}-key{output.suffix}"))
    _ending(key, ("pdf",))
    if Path(key).resolve() == output.resolve():
        raise Usage(f"{key}: the answer key must not go into the trainees' file; name another file")
    for path in (output, key):
        require_writable(path)  # neither is written where the other cannot be
    plan = renderer.load(arguments.jobs[0])
    count = arguments.class_size or 1
    options = _options(arguments)
    if arguments.lesson_set:
        options = replace(options, layout=LESSON_SET)
    with Bar("exercises") as bar:
        for_trainees, for_trainer = renderer.print_class(
            plan,
            count,
            options,
            seed=1 if arguments.seed is None else arguments.seed,
            progress=bar.step if count > 1 else None,
        )
    for path, data in ((arguments.output, for_trainees), (key, for_trainer)):
        _write_file(path, data)
        report_written(path)
    return EXIT_FINE


def _for_a_class(arguments: argparse.Namespace) -> None:
    """Raises Usage for an option that has no effect with a class."""
    given = {
        "--draft": arguments.draft,
        "--sides": arguments.sides,
        "--processes": arguments.processes,
        "--cache": arguments.cache,
    }
    for option, value in given.items():
        if value:
            raise Usage(f"{option} has no effect with --class; leave it out")
    if arguments.lesson_set and arguments.layout is not None:
        raise Usage("--set is a layout of its own, class-set; leave out --layout")


def _jobs(paths: list[str], keep_going: bool) -> tuple[DayPlan | None, Sequence[Plan], list[str]]:
    """The plans in their order, the day where a day file names them, and the files left out.

    Unless it is to keep going, it raises PlanError with the mistakes of all files.
    """
    from renderer.plan import is_day_file
    from renderer.plan.day import load_sound_day, plans_named, require_each_once
    from renderer.plan.errors import PlanError

    day: DayPlan | None = None
    plans: Sequence[Plan]
    errors: Sequence[PlanError]
    numbers: Sequence[tuple[str, str]] = ()
    days = [path for path in paths if is_day_file(path)]
    if not days:
        plans, errors, numbers = _loaded(paths)
        used = [path for path, _ in numbers]
    elif len(paths) > 1:
        raise Usage(f"{days[0]}: a day file must be the only file; list all jobs in it")
    else:
        day, plans, errors = load_sound_day(days[0])
        paths = list(plans_named(days[0]))
        folder = os.path.dirname(days[0])
        used = [os.path.join(folder, job.plan) for job in day.jobs]
    if errors:
        all_wrong = PlanError.of(errors)
        if not (keep_going and plans):
            raise all_wrong
        for line in explanations(all_wrong):
            complain(line)
    if day is None:
        require_each_once(used, [number for _, number in numbers])
    return day, plans, [path for path in paths if path not in used]


def _loaded(
    paths: Sequence[str],
) -> tuple[Sequence[Plan], Sequence[PlanError], Sequence[tuple[str, str]]]:
    """The plans, where there are many in a file from which they are read one by one.

    With them all mistakes, and each file without one with its job number.
    """
    from renderer.plan.errors import PlanError

    errors: list[PlanError] = []
    numbers: list[tuple[str, str]] = []

    def sound() -> Iterator[Plan]:
        for path in paths:
            try:
                plan = renderer.load(path)
            except PlanError as error:
                errors.extend(error.all)
                continue
            numbers.append((path, plan.job.number))
            yield plan

    plans: Sequence[Plan] = tuple(sound()) if len(paths) < SHARED_FROM else _spilt(sound())
    return plans, errors, numbers


def _spilt(plans: Iterable[Plan]) -> Sequence[Plan]:
    from renderer.batch.spill import Spill

    return Spill(plans)


def run_layouts(arguments: argparse.Namespace) -> int:
    """The layouts that come with pegline: name, title, and the blocks that each uses."""
    from renderer.sheets import layouts
    from renderer.sheets.blocks import BLOCKS

    lines = []
    for name, layout in layouts():
        lines.append(f"{name:<18} {layout.title}")
        if layout.each:
            lines += _listed("before the jobs", (use.block for use in layout.front))
            lines += _listed("each job", [layout.each.title])
        else:
            lines += _listed("blocks", (use.block for use in layout.uses))
    for scope, of in (("job", "blocks for a job"), ("pack", "blocks for a pack, before the jobs")):
        lines.append("")
        lines.append(of)
        lines += _listed("", (name for name, block in BLOCKS.items() if block.scope == scope))
    write_out("\n".join(lines) + "\n")
    return EXIT_FINE


def _listed(label: str, names: Iterable[str]) -> list[str]:
    import textwrap

    head = f"  {label}: " if label else "  "
    return textwrap.wrap(
        head + ", ".join(names), 79, subsequent_indent="    ", break_on_hyphens=False
    )


def run_new(arguments: argparse.Namespace) -> int:
    """A plan file to go on with, from answers or from a file of another program."""
    _ending(arguments.output, ("yaml", "yml"))
    if arguments.source is None:
        text = _by_questions(arguments)
    else:
        from renderer.formats import Options, import_plan

        options = Options(
            tuple(filter(None, (arguments.order or "").split(","))),
            arguments.units,
            tuple(arguments.check_distance),
            _kinds(arguments.kinds),
            tuple(arguments.fixed),
            arguments.side,
        )
        text = import_plan(arguments.source, options)
    if os.path.exists(arguments.output) and not _may_replace(arguments.output):
        raise Usage(
            f"{arguments.output}: this file already exists and is left as it is; name another one"
        )
    from renderer.editors import LINE, keep_schema_beside

    _write_file(arguments.output, f"{LINE}\n{text}".encode())
    keep_schema_beside(arguments.output)
    report_written(arguments.output)
    return EXIT_FINE


def _by_questions(arguments: argparse.Namespace) -> str:
    from renderer.formats import read_back
    from renderer.formats.questions import NoAnswer, asked
    from renderer.formats.written import written

    options = ("order", "units", "kinds", "check_distance", "fixed", "side")
    if any(getattr(arguments, each) for each in options):
        raise Usage(
            "--order, --units, --kinds, --check-distance, --fixed and --side go with --from FILE"
        )
    try:
        text = written(asked(answer, complain))
    except NoAnswer as error:
        raise Usage(str(error)) from None
    read_back("the answers", text)
    return text


def _may_replace(path: str) -> bool:
    """Whether the person at the terminal lets a file be replaced; nobody there means no."""
    import sys

    if sys.stdin is None or not sys.stdin.isatty():
        return False
    return (answer(f"{path} exists. Replace it, yes or no [no]: ") or "").lower() in ("y", "yes")


def _kinds(stated: Sequence[str]) -> dict[str, str]:
    kinds = {}
    for each in stated:
        name, sign, kind = each.rpartition("=")
        if not (name and sign and kind):
            raise Usage(f"--kinds {each}: write NAME=KIND, such as LAWN=hedge")
        kinds[name.strip()] = kind.strip()
    return kinds


def run_demo(arguments: argparse.Namespace) -> int:
    """The demo's day in a folder, and what to do with it next."""
    import shlex

    from renderer.demo_day import write_demo

    names = write_demo(arguments.folder)
    write_out(
        f"{len(names)} files of an invented firm are in {arguments.folder}. For example:\n"
        f"  cd {shlex.quote(arguments.folder)}\n"
        "  pegline preview --open practice-lawn.plan.yaml\n"
        "  pegline print practice-lawn.plan.yaml -o practice-lawn.pdf\n"
        "  pegline print fernhill.day.yaml -o day.pdf\n"
    )
    return EXIT_FINE


def run_completion(arguments: argparse.Namespace) -> int:
    """The script that lets a shell complete commands, options and files."""
    from renderer.completion import NoShtab, completion

    try:
        write_out(completion(arguments.parser, arguments.shell))
    except NoShtab as missing:
        raise Usage(str(missing)) from None
    return EXIT_FINE


def run_schema(arguments: argparse.Namespace) -> int:
    """The JSON Schema of the plan file."""
    from renderer.editors import schema_text

    write_out(schema_text())
    return EXIT_FINE


def _sentences(finding: FindingText) -> str:
    return " ".join(part for part in (finding.message, finding.cure) if part)


def _check_text(path: str, job: Job, language: str) -> str:
    from renderer.language import load_words

    plan, words = job.plan, load_words(language, "findings")
    head = words("check.head", number=plan.job.number, revision=plan.job.revision)
    lines = [f"{path}: {head}"]
    counts = {"stop": 0, "warn": 0, "note": 0}
    for finding in job.findings_in(language):
        counts[finding.level] += 1
        lines.append(
            f"  {finding.level:<4} {finding.message} [{finding.rule}{_place(plan, finding)}]"
        )
        if finding.cure:
            lines.append(f"       {words('check.cure', cure=finding.cure)}")
        if finding.acknowledged:
            lines.append(f"       {words('check.accepted', by=finding.acknowledged)}")
        elif finding.accept_with:
            lines.append(f"       {words('check.accept', line=finding.accept_with)}")
    stops = counts["stop"]
    verdict = words.count("check.stopped", stops) if stops else words("check.clear")
    rest = words("check.rest", warnings=counts["warn"], notes=counts["note"])
    lines.append(f"  {verdict}; {rest}")
    return "\n".join(lines) + "\n"


def _place(plan: Plan, finding: FindingText) -> str:
    """Where a finding is, in the unit that the plan is shown in."""
    from renderer.units import M_PER_FOOT

    if finding.at is None:
        return ""
    unit = M_PER_FOOT if plan.units == "ft" else 1.0
    x, y = (along / unit for along in finding.at)
    return f" at ({x:.2f}, {y:.2f}) {plan.units}"


def _check_json(reports: list[tuple[str, Job]], language: str) -> dict[str, Any]:
    from renderer.checks.finding import LEVELS
    from renderer.report import finding_json, plan_json

    jobs: list[dict[str, Any]] = [
        {
            "file": path,
            "plan": plan_json(job),
            "findings": [finding_json(finding) for finding in job.findings_in(language)],
        }
        for path, job in reports
    ]
    every = [{"file": job["file"], **found} for job in jobs for found in job["findings"]]
    every.sort(key=lambda found: LEVELS.index(found["level"]))
    return {"jobs": jobs, "findings": every}


def _ending(path: str, allowed: tuple[Any, ...]) -> Any:
    ending = Path(path).suffix.lower().removeprefix(".")
    if ending not in allowed:
        names = ", ".join(f".{name}" for name in allowed)
        raise Usage(f"{path}: unsupported output format; use {names}")
    return ending


def _require_no_input(output: str, job: str) -> None:
    """Raises Usage where a file to write is the plan or its machine's, by another name too."""
    from renderer.plan.reader import machine_file

    if job == STANDARD:
        return
    for path, what in ((job, "the plan file"), (machine_file(job), "the machine file")):
        if path and os.path.exists(output) and os.path.samefile(output, path):
            raise Usage(f"{output}: this is {what} itself; name another file")


def _json(value: Any) -> str:
    import json

    return json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _write_file(path: str, data: bytes | Fill) -> None:
    from renderer.output.files import write_whole

    write_whole(path, data)
