"""Parts: which numbers of a text belong to which exercise, named before or behind them."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.naming import Namer, Place
from core.notation.pieces import Break, Effort, Gap, Join, Named, Number, Piece, Role, Words


@dataclass(slots=True)
class Part:
    """Numbers that belong to one exercise.

    Args:
        named: The exercise; None if none was named.
        pieces: What belongs to it.
        gap: What parts it from the part before.

    """

    named: Named | None
    pieces: list[Piece]
    gap: Gap = Gap.BLANK


@dataclass(slots=True)
class _Block:
    named: Named | None
    pieces: list[Piece] = field(default_factory=list)
    before: Gap = Gap.BLANK


def parts(pieces: Sequence[Piece], namer: Namer, doubts: Doubts) -> list[Part]:
    """Parts of a text, in order; a part without a name of its own belongs to the exercise before it.

    Raises:
        Refused: a name has no numbers, or words mean nothing.

    """
    found: list[Part] = []
    heading: Named | None = None
    current: Named | None = None
    for line, gap in _lines(pieces):
        blocks = _blocks(line, namer, doubts, current=heading or current)
        if not blocks:
            continue
        names = [block for block in blocks if block.named is not None]
        if len(names) == len(blocks):
            heading = _one_name(names, heading)
            continue
        if heading is not None and blocks[0].named is not None:
            _refuse_unused(heading, remark=True)
            heading = None
        for part in _assigned(blocks, doubts):
            if heading is not None and part.named is None:
                part.named = heading
            if not found or part.named is not None or part.pieces:
                part.gap = gap if part.gap is Gap.BLANK else part.gap
                found.append(part)
                current = part.named or current
        heading = None
    if heading is not None and found:
        _refuse_unused(heading, remark=True)
        heading = None
    if heading is not None:
        found.append(Part(heading, []))
    return found


def _lines(pieces: Sequence[Piece]) -> list[tuple[list[Piece], Gap]]:
    """Pieces between line breaks and semicolons, with what stands before each."""
    lines: list[tuple[list[Piece], Gap]] = [([], Gap.LINE)]
    for piece in pieces:
        if isinstance(piece, Break) and piece.gap in (Gap.STRONG, Gap.LINE):
            lines.append(([], piece.gap))
        else:
            lines[-1][0].append(piece)
    return [(line, gap) for line, gap in lines if line]


def _blocks(line: Sequence[Piece], namer: Namer, doubts: Doubts, *, current: Named | None) -> list[_Block]:
    """Names and the numbers between them, in turn."""
    behind = _numbers_behind(line)
    blocks: list[_Block] = []
    gap = Gap.BLANK
    named: Named | None = None
    numbers_before = False
    remarked = False
    for place, piece in enumerate(line):
        if isinstance(piece, Words):
            found = _name(
                piece,
                namer,
                before=numbers_before,
                behind=behind[place],
                has_name=named is not None,
                gap=gap,
                counts=_count_alone(blocks),
            )
            remarked = found is None
            if found is None:
                continue
            if found.varies:
                plain = named or current
                if plain is not None or namer.current is not None or namer.stands_alone(found):
                    further = named is not None and named.plain is not None
                    varied = namer.varied((plain.plain or plain) if plain is not None else None, found)
                    named = _vary(blocks, varied, gap, doubts, further=further)
                    continue
                if numbers_before and not behind[place]:
                    continue  # the lift is not known yet; the text is read again once it is
            if blocks and blocks[-1].named is not None and blocks[-1].named.exercise == found.exercise:
                continue
            named = found
            blocks.append(_Block(found, before=gap))
            gap = Gap.BLANK
            continue
        parts_names = not blocks or blocks[-1].named is not None or not behind[place] or _name_follows(line, place)
        if isinstance(piece, Break) and parts_names:
            gap = piece.gap if piece.gap.value > gap.value else gap
            continue
        if isinstance(piece, Number):
            numbers_before = True
            piece.remarked = remarked and gap is Gap.BLANK and _ends_with_set(blocks)
        remarked = False
        if not blocks or blocks[-1].named is not None:
            blocks.append(_Block(None, before=gap))
        elif gap is not Gap.BLANK:
            blocks[-1].pieces.append(Break(gap, 0, 0))
        gap = Gap.BLANK
        blocks[-1].pieces.append(piece)
    return _without_prefixes([block for block in blocks if block.named is not None or _says(block)])


def _ends_with_set(blocks: Sequence[_Block]) -> bool:
    """Whether numbers, and nothing that parts, stand last."""
    return bool(blocks) and blocks[-1].named is None and not isinstance(blocks[-1].pieces[-1], Break)


def _without_prefixes(blocks: list[_Block]) -> list[_Block]:
    """`wu bench 40x10`: what stands before a name without any number is said of the sets behind it."""
    kept: list[_Block] = []
    for place, block in enumerate(blocks):
        prefix = block.named is None and not any(isinstance(piece, Number) for piece in block.pieces)
        if prefix and place + 2 < len(blocks) and blocks[place + 1].named is not None:
            blocks[place + 2].pieces[:0] = block.pieces
        else:
            kept.append(block)
    return kept


def _numbers_behind(line: Sequence[Piece]) -> list[bool]:
    behind = [False] * len(line)
    seen = False
    for place in range(len(line) - 1, -1, -1):
        behind[place] = seen
        seen = seen or isinstance(line[place], Number)
    return behind


def _vary(blocks: list[_Block], varied: Named, gap: Gap, doubts: Doubts, *, further: bool) -> Named:
    """Make a variation of the lift that the sets before, or those behind, belong to."""
    if not blocks or blocks[-1].named is not None:
        if blocks:
            blocks[-1].named = varied
        else:
            blocks.append(_Block(varied, before=gap))
        return varied
    sets = blocks[-1]
    cut = max((place for place, piece in enumerate(sets.pieces) if isinstance(piece, Break)), default=-1)
    heads = len(blocks) > 1 and blocks[-2].named is not None
    way = "last" if further and cut >= 0 else "all"
    if cut >= 0 and not further:
        way = doubts.value(
            Doubt.OTHER, f"varied {varied.start}", ["all", "last"], start=varied.start, end=varied.end, taught=False
        )
    if way == "all":
        if heads:
            blocks[-2].named = varied
        else:
            blocks.insert(len(blocks) - 1, _Block(varied, before=sets.before))
        return varied
    last = _Block(None, sets.pieces[cut + 1 :])
    sets.pieces = sets.pieces[:cut]
    blocks.extend((_Block(varied, before=Gap.COMMA), last))
    return varied


def _name_follows(line: Sequence[Piece], place: int) -> bool:
    return place + 1 < len(line) and isinstance(line[place + 1], Words)


def _says(block: _Block) -> bool:
    return any(not isinstance(piece, Break) for piece in block.pieces)


def _name(
    run: Words, namer: Namer, *, before: bool, behind: bool, has_name: bool, gap: Gap, counts: bool
) -> Named | None:
    place = (Place.BETWEEN if before else Place.BEFORE) if behind else Place.BEHIND if before else Place.ALONE
    parted = gap is not Gap.BLANK
    return namer.named(run, place, has_name=has_name, parted=parted, counted=counts and not parted)


def _count_alone(blocks: Sequence[_Block]) -> bool:
    """Whether only numbers that count something stand before: what follows is what they count (`10 burpees`)."""
    return len(blocks) == 1 and all(
        isinstance(piece, Number) and piece.role is Role.BARE and piece.unit is None for piece in blocks[0].pieces
    )


def _one_name(names: Sequence[_Block], heading: Named | None) -> Named | None:
    if heading is not None:
        _refuse_unused(heading, remark=True)
    if len(names) > 1 and names[0].named is not None:
        _refuse_unused(names[0].named, remark=True)
    return names[0].named


def _refuse_unused(named: Named, *, remark: bool = False) -> None:
    """Refuse a name without numbers; unknown words apart from what follows (`chest day, bench 80x5`) are a remark."""
    if remark and not named.known:
        return
    raise Refused(ProblemKind.WORD_LEFT_OVER, named.start, named.end)


def _assigned(blocks: Sequence[_Block], doubts: Doubts) -> list[Part]:
    if blocks[0].named is not None:
        return _named_before(blocks)
    if len(blocks) == 1:
        return [Part(None, blocks[0].pieces)]
    if len(blocks) == 2:
        return [Part(blocks[1].named, blocks[0].pieces)]
    if len(blocks) == 3 and blocks[1].named is not None and _one_entry(blocks[0], blocks[2]):
        return [Part(blocks[1].named, [*blocks[0].pieces, *blocks[2].pieces], blocks[0].before)]
    if len(blocks) == 3 and (_is_lone(blocks[0]) or _is_lone(blocks[2])):
        # `3x8 bench 60`: the name stands in the middle of one entry.
        return [Part(blocks[1].named, [*blocks[0].pieces, *_gap_between(blocks[2]), *blocks[2].pieces])]
    before, behind = blocks[1].before, blocks[2].before
    if before.value > behind.value:
        return [Part(None, blocks[0].pieces), *_named_before(blocks[1:])]
    if before.value == behind.value and len(blocks) % 2 and blocks[1].named is not None:
        name = blocks[1].named
        way = doubts.value(Doubt.NAME, "name stands", ["behind", "before"], start=name.start, end=name.end)
        if way == "before":
            return [Part(None, blocks[0].pieces), *_named_before(blocks[1:])]
    return _named_behind(blocks)


def _one_entry(before: _Block, behind: _Block) -> bool:
    """Whether numbers on both sides of a name are one entry: `5x5 bench @ 90`, `90kg bench 5, 5, 4`, `80x5 bench rir 1`."""
    if not behind.pieces or isinstance(behind.pieces[0], Effort | Join):
        return True
    loads = [piece for piece in before.pieces if isinstance(piece, Number)]
    alone = len(loads) == 1 and len(before.pieces) == 1 and (loads[0].unit is not None or loads[0].role is Role.LOAD)
    return alone and all(
        piece.unit is None and piece.role is not Role.LOAD for piece in behind.pieces if isinstance(piece, Number)
    )


def _is_lone(block: _Block) -> bool:
    return block.before is Gap.BLANK and sum(isinstance(piece, Number) for piece in block.pieces) == 1


def _gap_between(block: _Block) -> list[Piece]:
    return [] if block.before is Gap.BLANK else [Break(block.before, 0, 0)]


def _named_before(blocks: Sequence[_Block]) -> list[Part]:
    found: list[Part] = []
    waiting: _Block | None = None
    for block in blocks:
        if block.named is not None:
            if waiting is not None and waiting.named is not None:
                _refuse_unused(waiting.named, remark=block.before is not Gap.BLANK)
            waiting = block
        else:
            found.append(
                Part(waiting.named if waiting else None, block.pieces, waiting.before if waiting else block.before)
            )
            waiting = None
    if waiting is not None and waiting.named is not None:
        if found and found[-1].named is not None and found[-1].named.exercise == waiting.named.exercise:
            return found
        raise Refused(ProblemKind.WORD_LEFT_OVER, waiting.named.start, waiting.named.end)
    return found


def _named_behind(blocks: Sequence[_Block]) -> list[Part]:
    """`80x5 bench 60x10 row`; numbers behind the last name belong to it too."""
    found: list[Part] = []
    waiting: _Block | None = None
    for block in blocks:
        if block.named is None:
            waiting = block
        elif waiting is not None:
            found.append(Part(block.named, waiting.pieces, waiting.before))
            waiting = None
        else:
            _refuse_unused(block.named)
    if waiting is not None:
        found.append(Part(found[-1].named if found else None, waiting.pieces, Gap.COMMA))
    return found
