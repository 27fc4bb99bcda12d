"""Language: the catalogues of printed text, and how each language writes numbers, days, plurals."""

from renderer.language.errors import WordError
from renderer.language.words import ENGLISH, Words, languages, load_words, require_language

__all__ = ["ENGLISH", "WordError", "Words", "languages", "load_words", "require_language"]
