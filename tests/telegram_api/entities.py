"""HTML as the Bot API takes it: to the text that people see, or to the error that is answered.

Source: section "Formatting options", "HTML style" (from memory).
"""

import re

PLAIN = frozenset(
    {"b", "strong", "i", "em", "u", "ins", "s", "strike", "del", "tg-spoiler", "code", "pre", "blockquote"}
)

NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"'}
"""The only named entities: "The API currently supports only the following named HTML entities"."""

ALONE = frozenset({"code", "pre"})
"""These "can't contain other entities", but for `<pre><code class="language-...">`."""

_TAG = re.compile(r"<(?P<end>/?)(?P<name>[a-z-]+)(?P<rest>(?:\s[^<>]*)?)>")
_ENTITY = re.compile(r"&(?:#(\d{1,7})|#x([0-9a-fA-F]{1,6})|([a-z]+));")


class NotParsedError(ValueError):
    """What cannot be parsed, in the words of the API."""


def seen(html: str) -> str:
    """The text that people see.

    "All <, > and & symbols that are not a part of a tag or an HTML entity must be replaced": the real server forgives
    some of them, the double none.

    Raises:
        NotParsedError: it is no HTML that the API takes.

    """
    shown: list[str] = []
    open_tags: list[str] = []
    place = 0
    while place < len(html):
        character = html[place]
        at = f"at byte offset {len(html[:place].encode())}"
        if character == "<":
            found = _TAG.match(html, place)
            if found is None:
                raise NotParsedError(f"can't parse entities: Unexpected start tag {at}")
            _take_tag(found, open_tags, at)
            place = found.end()
        elif character == "&":
            entity = _ENTITY.match(html, place)
            if entity is None or (entity[3] and entity[3] not in NAMED):
                raise NotParsedError(f"can't parse entities: Unsupported entity {at}")
            shown.append(NAMED[entity[3]] if entity[3] else chr(int(entity[1] or f"0x{entity[2]}", 0)))
            place = entity.end()
        elif character == ">":
            raise NotParsedError(f"can't parse entities: Unescaped > {at}")
        else:
            shown.append(character)
            place += 1
    if open_tags:
        raise NotParsedError(f"can't parse entities: Can't find end tag corresponding to start tag \"{open_tags[-1]}\"")
    return "".join(shown)


def _take_tag(found: re.Match[str], open_tags: list[str], at: str) -> None:
    name = found["name"]
    if found["end"]:
        if not open_tags:
            raise NotParsedError(f"can't parse entities: Unexpected end tag {at}")
        expected = open_tags.pop()
        if expected != name:
            raise NotParsedError(
                f'can\'t parse entities: Unmatched end tag {at}, expected "</{expected}>", found "</{name}>"'
            )
        return
    rest = found["rest"].strip()
    allowed = (
        (name in PLAIN and (not rest or (name == "code" and re.fullmatch(r'class="language-[\w-]+"', rest))))
        or (name == "a" and re.fullmatch(r'href="[^"]+"', rest))
        or (name == "span" and rest == 'class="tg-spoiler"')
        or (name == "blockquote" and rest == "expandable")
    )
    if not allowed:
        raise NotParsedError(f'can\'t parse entities: Unsupported start tag "{name}" {at}')
    if any(each in ALONE for each in open_tags) and not (open_tags[-1] == "pre" and name == "code"):
        raise NotParsedError(f'can\'t parse entities: Entity "{name}" inside "{open_tags[-1]}" {at}')
    open_tags.append(name)
