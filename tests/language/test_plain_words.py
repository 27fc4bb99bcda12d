"""Printed words are those of the trade: phrases that misled or puzzled readers do not come back."""

from __future__ import annotations

import re

import pytest

from renderer import resources
from renderer.language import languages
from renderer.language.words import read_table

FOLDER = resources.layouts() / "words"

# What must not be printed, by language: a pattern, and why.
BANNED: dict[str, dict[str, str]] = {
    "en": {
        r"\b(make|made)\b.{0,15}\bdead\b": "say: switch off and disable",
        r"\bis no locate\b": "say: does not show buried services",
        r"\bnobody's register\b": "say: on no public record",
        r"\breckon": "say: work out",
        r"\bplug out\b": "say: unplug",
        r"\blicensed electrician\b": "not every country licenses; say: qualified electrician",
        r"\bresidual-current\b": "crews say RCD or GFCI",
        r"\bwalked\b": "wire runs, people walk",
        r"\b(wrong|other|which) way round\b": "say: direction",
        r"\bway of laying\b": "say: lay direction",
        r"\bsignal generator\b": "one name for it: signal source",
        r"\b(firm|low|soft) thing": "say: obstacle",
        r"\bin a bow\b": "say: arc",
        r"\baskew\b": "say: at an angle",
        r"\btold\b": "say: reported",
        r"while storms are about": "unplug before the storm, not during it",
        r"\bwalk beside (it|the machine)\b": "nobody measures beside turning blades",
        r"\bno reading\b": "a good insulation reading is high, an open circuit shows OL",
        r"\bstops? the lay\b": "say: stops the job",
        r"\b(the|this) lay (takes|is|has)\b": "lay is no noun: say job, or wire laid",
        r"\b(its|the|shortest) way round the building\b": "say: route",
        r"\bWalk the way\b": "say: measure the route",
        r"\bcloses no way\b": "say: does not block the way past",
        r"\bisland round\b": "an island is what the wire goes round; say: ring round",
        r"\bunder minutes\b": "a key of the machine's file is no word",
    },
    "de": {
        r"\b\w*(nagel|nägel)\w*": "ein Hering, kein Zimmermannsnagel",
        r"\bzugelassene[nr]? Elektrofachkraft": "Elektrofachkraft genügt",
        r"\bsq\b": "ft²",
        r"\bauf firm\b": "ein Schlüssel der Datei ist kein Wort",
        r"bei Gewitter zieht": "vor dem Gewitter ausstecken",
        r"\bDing(e|en|s)?\b": "Hindernis",
        r"\bNiederspannung": "reicht bis 1000 V: Kleinspannung",
        r"\bübliche Praxis": "überall gleich: gängige Praxis",
        r"\bunter minutes\b": "ein Schlüssel der Datei ist kein Wort",
        r"\btote Lücke\b": "überall gleich: toter Spalt",
        r"\bheile[rns]?\b": "einwandfrei, intakt",
        r"\bInsel um\b": "der Draht ist ein Ring um eine Insel",
    },
    "es": {
        r"\belectricista autorizado\b": "electricista cualificado",
        r"\ba firm\b": "una clave del archivo no es una palabra",
        r"\bmientras haya tormentas\b": "antes de la tormenta",
        r"\bobjetos? (bajo|blando|firme)": "obstáculo",
        r"\bbucles?\b": "en todas partes igual: lazo",
        r"\ben minutes\b": "una clave del archivo no es una palabra",
        r"\bbobinas?\b": "en todas partes igual: carrete",
        r"\bobst\.": "obstáculo, entero",
    },
    "fr": {
        r"\bcoupe(nt)? le fil\b": "se lit « sectionne » : croise le fil",
        r"\bélectricien agréé\b": "électricien qualifié",
        r"\ben firm\b": "une clé du fichier n’est pas un mot",
        r"\bpar temps d’orage\b": "avant l’orage",
        r"\bobjets? (bas|souple|dur)": "obstacle",
        r"\bsous minutes\b": "une clé du fichier n’est pas un mot",
        r"\brelevé d’essais\b": "partout pareil : fiche d’essais",
        r"\bdévidoir\b": "partout pareil : dérouleur",
        r"\w'\w": "apostrophe d’imprimerie",
    },
}
SENTENCES = ("caution.",)  # keys whose texts are whole sentences


def texts(language: str) -> dict[str, str]:
    """Every text of a language, by file and key."""
    return {
        f"{file.name}: {key}": text
        for file in sorted(FOLDER.glob(f"{language}*.yaml"))
        for key, text in read_table(file).items()
    }


def breaches(language: str, found: dict[str, str]) -> list[str]:
    """Texts with a banned phrase, each with the reason."""
    return [
        f"{place} {text!r}: {why}"
        for place, text in found.items()
        for pattern, why in BANNED[language].items()
        if re.search(pattern, text, re.IGNORECASE)
    ]


def test_each_language_has_its_list() -> None:
    assert set(BANNED) == set(languages())


@pytest.mark.parametrize("language", languages())
def test_no_banned_phrase_is_printed(language: str) -> None:
    assert breaches(language, texts(language)) == []


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", "Make the machine dead first."),
        ("de", "Den Nagel einschlagen."),
        ("es", "Llame a un electricista autorizado."),
        ("fr", "Le câble coupe le fil."),
    ],
)
def test_a_banned_phrase_would_be_seen(language: str, text: str) -> None:
    assert len(breaches(language, {"somewhere": text})) == 1


@pytest.mark.parametrize("language", languages())
def test_a_caution_and_a_finding_end_as_sentences(language: str) -> None:
    unended = [
        place
        for place, text in texts(language).items()
        if (
            place.split(": ")[1].startswith(SENTENCES)
            or re.search(r"findings\.yaml: [\w-]+\.(cure|found)$", place)
        )
        and not text.endswith((".", "?", "}"))
    ]
    assert unended == []


# A key of the plan file is for who types the plan; printed words use the trade's own.
DOTTED = r"\b(job|machine|wire|survey|loops?|lawns?|features?|obstacles?|acknowledged)\.[a-z]\w*"
UNDERSCORED = r"\b[a-z]+_[a-z_]+\b"
# Keys and kinds that are words of English only: in another language they can only have leaked.
ENGLISH_KEYS = (
    "through|mounted|located|between|supply|lead|outdoor|protected|side|kind|dock|generator|under"
    "|firm|soft|low|tree|wall|fence|hedge|water|road|bed|kerb|flush|neighbour|drop|spools|slack"
)


def leaks(language: str, found: dict[str, str]) -> list[str]:
    """Texts that name a key of the plan file, but for findings, whose cure may be to edit it."""
    patterns = [DOTTED, UNDERSCORED]
    if language != "en":
        patterns.append(rf"(?<![{{\w])({ENGLISH_KEYS})(?![\w}}])")
    return [
        f"{place} {text!r}"
        for place, text in found.items()
        if "findings.yaml" not in place
        if any(re.search(pattern, re.sub(r"\{\w*\}", "", text)) for pattern in patterns)
    ]


@pytest.mark.parametrize("language", languages())
def test_no_key_of_the_plan_file_is_printed_as_a_word(language: str) -> None:
    assert leaks(language, texts(language)) == []


@pytest.mark.parametrize(
    ("language", "text"),
    [("en", "job.services_asked: no answer"), ("de", "Seite (side)"), ("fr", "en through")],
)
def test_a_leaked_key_would_be_seen(language: str, text: str) -> None:
    assert len(leaks(language, {"a.yaml: b": text})) == 1


def test_french_sets_a_space_before_double_signs() -> None:
    tight = [
        f"{place} {text!r}"
        for place, text in texts("fr").items()
        if re.search(r"[a-zéèêàùç)][;:!?](\s|$)", text, re.IGNORECASE)
    ]
    assert tight == []
