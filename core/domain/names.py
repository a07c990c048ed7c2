"""Names that lifters type: the form in which two ways of typing one name are equal."""

import unicodedata
from collections.abc import Mapping

_DROPPED: Mapping[int, None] = dict.fromkeys(
    # Apostrophes and the marks typed for them, then the variation selectors that follow emoji.
    [*map(ord, "'’‘‛ʼʻʹ′`´＇"), *range(0xFE00, 0xFE10)]
)

_MARKS = frozenset({"Mn", "Mc"})


def fold(words: str) -> str:
    """Form of a name in which different ways of typing it are equal.

    Case, width, hyphens, blanks, apostrophes, other punctuation and an English plural make no difference; letters with
    accents stay different. Total, idempotent, and linear in the length of the text.

    >>> fold("Farmer’s  Walks")
    'farmer walk'
    >>> fold("ＰＵＬＬ－ＵＰＳ")
    'pull up'

    """
    text = unicodedata.normalize("NFKD", words.translate(_DROPPED))
    # Twice, as the Unicode Standard 3.13 (D146) has it: decomposing can bring forth capitals again.
    text = unicodedata.normalize("NFKD", text.casefold())
    text = unicodedata.normalize("NFKD", text.casefold()).translate(_DROPPED)
    kept: list[str] = []
    for character in text:
        category = unicodedata.category(character)
        if category[0] in "LN" or (category in _MARKS and kept and kept[-1] != " "):
            kept.append(character)
        elif category[0] not in "CM" or character.isspace():
            kept.append(" ")
    return " ".join(_singular(word) for word in unicodedata.normalize("NFC", "".join(kept)).split())


def _singular(word: str) -> str:
    # "press", "us" and "is" end in no plural; "40s" is a pair of dumbbells or seconds, never a word.
    if len(word) < 3 or word[-1] != "s" or word[-2] in "sui" or not word[-2].isalpha():
        return word
    if word.endswith("alves"):
        return word.removesuffix("ves") + "f"
    if word.endswith(("ches", "shes", "sses", "xes")):
        return word.removesuffix("es")
    if word.endswith("ies") and len(word) > 4:
        return word.removesuffix("ies") + "y"
    return word.removesuffix("s")
