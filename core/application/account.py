"""The account: units, bar, zone, body mass, consent, help, and everything forgotten on request."""

from dataclasses import replace

from core.application import check_ins, due, follow, linking, questions
from core.application.turn import Turn
from core.application.zones import zone_named, zones_close
from core.domain.commands import BodyMass, Cancel, Consent, ForgetMe, Help, NewExercise, UseBar, UseUnit, UseZone
from core.domain.equipment import Bar
from core.domain.exercises import Equipment
from core.domain.link_replies import ErasedElsewhere
from core.domain.own_exercises import equipment_told, own_exercise
from core.domain.profile import Consent as ConsentGiven
from core.domain.replies import (
    Acknowledged,
    Ask,
    Done,
    Forgotten,
    HelpTold,
    Nothing,
    NothingThere,
    Option,
    PrivacyTold,
    Reply,
)
from core.domain.setups import NEW_SETUP
from core.domain.units import Load, from_kg
from core.notation.messages import canonical

CONSENT_VERSION = "1"
"""Version of the text on health data; a changed text asks again."""

LIGHTEST_BAR_KG, HEAVIEST_BAR_KG = 2.0, 40.0
"""Bounds of a bar's weight. [kg] From an aluminium technique bar to the heaviest special bars; common practice."""

LIGHTEST_BODY_KG, HEAVIEST_BODY_KG = 25.0, 350.0
"""Bounds of a body mass that is kept. [kg] Outside them it is a slip of the thumb."""


def use_unit(turn: Turn, command: UseUnit) -> list[Reply]:
    """Take loads without a unit in this one from now on; what is logged stays as it was."""
    turn.settle(replace(turn.lifter, unit=command.unit, unit_told=True))
    if turn.setup.owned is not None:
        turn.settle_setup(replace(turn.setup, owned=replace(turn.setup.owned, unit=command.unit)))
    return [Acknowledged(Done.UNIT, command.unit.value)]


def use_bar(turn: Turn, command: UseBar) -> list[Reply]:
    """Take this as the weight of the bar."""
    if not LIGHTEST_BAR_KG <= command.mass.kg <= HEAVIEST_BAR_KG:
        return [NothingThere(Nothing.SUCH_BAR)]
    turn.settle(replace(turn.lifter, bar=command.mass))
    gym = turn.setup.gym(turn.unit)
    others = tuple(bar for bar in gym.bars if bar.equipment is not Equipment.BARBELL)
    if Equipment.BARBELL in gym.has:
        turn.settle_setup(replace(turn.setup, owned=replace(gym, bars=(Bar(command.mass), *others))))
    return [Acknowledged(Done.BAR, load=command.mass)]


def use_zone(turn: Turn, command: UseZone) -> list[Reply]:
    """Take this zone for the lifter's days: told by its name, its place, or its offset; close matches are asked about."""
    zone = zone_named(command.zone)
    if zone is not None:
        turn.settle(replace(turn.lifter, zone=zone))
        due.rezone(turn)
        return [Acknowledged(Done.ZONE, zone)]
    meant = zones_close(command.zone)
    if meant:
        options = [*(Option(UseZone(each)) for each in meant), Option(Cancel())]
        return [questions.ask(turn, Ask.ZONE, options, word=command.zone)]
    return [NothingThere(Nothing.SUCH_ZONE, command.zone)]


def body_mass(turn: Turn, command: BodyMass) -> list[Reply]:
    """Keep a body mass, with the lifter's word on health data; or tell the one kept."""
    if command.mass is None:
        if turn.lifter.body_mass_kg is None:
            return [NothingThere(Nothing.BODY_MASS)]
        kept = Load(round(from_kg(turn.lifter.body_mass_kg, turn.unit), 1), turn.unit)
        return [Acknowledged(Done.BODY_MASS, load=kept)]
    if not LIGHTEST_BODY_KG <= command.mass.kg <= HEAVIEST_BODY_KG:
        return [NothingThere(Nothing.SUCH_BODY_MASS)]
    if turn.lifter.consent is None or not turn.lifter.consent.given:
        yes, no = Consent(given=True), Consent(given=False)
        sends = (canonical(yes) + questions.LINE_BETWEEN + canonical(command), canonical(no))
        return [questions.ask(turn, Ask.BODY_MASS, (Option(yes), Option(no)), sends=sends)]
    turn.settle(replace(turn.lifter, body_mass_kg=command.mass.kg, body_mass_off=False))
    check_ins.with_body_mass(turn, command.mass.kg)
    return [Acknowledged(Done.BODY_MASS, load=command.mass)]


def body_mass_off(turn: Turn) -> list[Reply]:
    """Erase the body mass, with all that was worked out from it, and never ask for it again."""
    turn.settle(replace(turn.lifter, body_mass_kg=None, body_mass_off=True))
    follow.without_body_mass(turn)
    turn.work.inbox.erase_texts_of(turn.lifter.id)
    return [Acknowledged(Done.BODY_MASS_OFF)]


def consent(turn: Turn, command: Consent) -> list[Reply]:
    """Keep the lifter's word on health data; a no erases what there is."""
    word = ConsentGiven(given=command.given, at=turn.now, version=CONSENT_VERSION)
    mass = turn.lifter.body_mass_kg if command.given else None
    if not command.given:
        check_ins.erase_health(turn)
    turn.settle(replace(turn.lifter, consent=word, body_mass_kg=mass))
    if not command.given:
        follow.without_body_mass(turn)
        # Any of them may tell of body mass, of pain, or of how a week felt.
        turn.work.inbox.erase_texts_of(turn.lifter.id)
    if not command.given and turn.setup != NEW_SETUP:
        careful = replace(turn.setup.care, screened=True)
        away = None if turn.setup.away is None else replace(turn.setup.away, sick=False)
        turn.settle_setup(replace(turn.setup, care=careful, screened_on=None, hurting=(), cutting=False, away=away))
    return [Acknowledged(Done.CONSENT_ON if command.given else Done.CONSENT_OFF)]


def privacy(turn: Turn) -> list[Reply]:
    """Who runs this bot and what is kept, again."""
    return [PrivacyTold(turn.lifter)]


def help_told(command: Help) -> list[Reply]:
    """What can be texted."""
    return [HelpTold(command.topic)]


def forget_me(turn: Turn, command: ForgetMe) -> list[Reply]:
    """Erase everything, after one more question."""
    if not command.confirmed:
        chats = len(turn.work.addresses.of(turn.lifter.id))
        options = (Option(ForgetMe(confirmed=True)), Option(Cancel()))
        return [questions.ask(turn, Ask.FORGET, options, figures=(("chats", chats),))]
    chats_before = turn.work.addresses.of(turn.lifter.id)
    turn.work.lifters.erase(turn.lifter.id)
    linking.told_elsewhere(turn, chats_before, ErasedElsewhere(turn.row.address))
    turn.gone = True
    return [Forgotten()]


def new_exercise(turn: Turn, command: NewExercise) -> list[Reply]:
    """Keep an exercise of the lifter's own."""
    if turn.exercise(command.name) is None:
        turn.keep(own_exercise(command.name, command.muscle, command.equipment or equipment_told(command.name)))
    return [Acknowledged(Done.NEW_EXERCISE, command.name)]


def cancel(turn: Turn) -> list[Reply]:
    """Leave the newest open question."""
    newest = questions.newest_open(turn)
    if newest is None or turn.now >= newest.expires_at:
        return [NothingThere(Nothing.OPEN_QUESTION)]
    turn.work.questions.withdraw(turn.lifter.id, newest.message_key)
    return [Acknowledged(Done.CANCELLED)]
