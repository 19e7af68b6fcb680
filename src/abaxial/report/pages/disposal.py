"""The page of what was cut: where it goes, how blades are cleaned, in which order to work, what a compost log is worth."""

from abaxial.errors import FaultError
from abaxial.label.precautions import kinds_for
from abaxial.report.answers.disposal import CompostJudged, Dilution, DisposalAnswer, StandardJudged
from abaxial.report.blocks import Action, Actions, Block, Caution, Line, Page, Points, Precautions, Row, Steps, Table
from abaxial.report.pages.plan.cautions import cautions_told
from abaxial.report.pages.sources import made_in_short
from abaxial.report.words.dates import full_date
from abaxial.report.words.plan import cleaning
from abaxial.report.words.quantities import Units, listed
from abaxial.report.words.seen.shares import percent_cell
from abaxial.report.words.speech import say

_UNTIL_THEN = "Until it is fetched it stays in closed bags, away from the beds."
_JUDGE_BAG = "Whether its time is up: abaxial dispose --bag, with the days it has lain."


def disposal_page(answer: DisposalAnswer, units: Units = "metric") -> Page:
    """The blocks of a disposal's answer. Raises FaultError where its precautions are lacking."""
    left = f"That way about {percent_cell(answer.left_frac)} of its spores stay in the garden; nobody has measured it."
    head: list[Block] = [Line(_headline(answer), left)]
    head.append(Precautions("Take care", _precautions(answer, units)))
    cautions = tuple(cleaning.caution_words(each) for each in answer.cautions)
    later = _JUDGE_BAG if answer.way == "solarise_then_bury" else _UNTIL_THEN
    head.append(Steps("How", (*cautions, *((later,) if answer.before else ()))))
    if answer.order:
        head.append(Steps("In which order to work", _order(answer)))
    if answer.dilutions:
        head.append(Actions("Cleaning blades and leaves", tuple(_dilution(each, units) for each in answer.dilutions)))
    if answer.compost is not None:
        head += _compost(answer.compost, units)
    if answer.bag is not None:
        head.append(Points("The bag in the sun", cleaning.bag_words(answer.bag)))
    head.append(_other_ways(answer))
    asked = tuple(cleaning.asked_words(each) for each in answer.questions)
    unknown = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.unknown))
    if asked:
        head.append(Caution("What we have to ask", asked))
    tail: list[Block] = [Caution("What we do not know", unknown)] if unknown else []
    invented = " · invented garden" if answer.invented else ""
    kicker = f"What was cut, {full_date(answer.today)}{invented}"
    return Page(answer.garden, kicker, tuple(head), (), (*tail, made_in_short(answer.passport)))


def _headline(answer: DisposalAnswer) -> str:
    who = listed(answer.plantings)
    what = f"What was cut from {who}" if who else "What was cut"
    if not answer.way:
        return f"{what}: no good way is known yet; keep it in closed bags."
    return f"{what}: {cleaning.way_words(answer.way)[0].lower()}{cleaning.way_words(answer.way)[1:]}."


def works_of(answer: DisposalAnswer) -> tuple[str, ...]:
    """The kinds of work that the page speaks of, whose precautions it shows."""
    mixed = {each.disinfectant for each in answer.dilutions}
    fire = ("heat",) if answer.way == "burn" else ()
    return ("blade", *(each for each in ("bleach", "alcohol") if each in mixed), *fire)


def _precautions(answer: DisposalAnswer, units: Units) -> tuple[str, ...]:
    lacking = [kind for kind in kinds_for(works_of(answer)) if kind not in {each.kind for each in answer.precautions}]
    if lacking:
        raise FaultError(
            f"What was cut cannot be spoken of without the precautions {', '.join(lacking)}.",
            remedy="Give it those of label.precautions.",
        )
    return cautions_told(answer.precautions, units, answer.today)


def _order(answer: DisposalAnswer) -> tuple[str, ...]:
    turns = tuple(
        f"{each.planting}: first {cleaning.before_words(each.before)}." if each.before else f"{each.planting}."
        for each in answer.order
    )
    return (*turns, "At the end wash hands, blades and clothes.")


def _dilution(mix: Dilution, units: Units) -> Action:
    rinsed = ("Rinse with clean water afterwards.",) if mix.rinse else ()
    return Action(
        f"For {cleaning.purpose_words(mix.purpose)}",
        _cap(cleaning.dilution_words(mix, units)),
        cleaning.dilution_steps(mix),
        how=rinsed,
        cautions=tuple(cleaning.caution_words(each) for each in mix.cautions),
        hurts=True,
    )


def _compost(heap: CompostJudged, units: Units) -> list[Block]:
    told = tuple(cleaning.heap_words(each) for each in heap.reasons)
    blocks: list[Block] = [Points("The heap", told)]
    if heap.judged:
        rows = tuple(Row(each.name, (_met(each), _lacks(each, units))) for each in heap.judged)
        note = "Only standards in which the whole heap goes through the heat count for rust; they are starred."
        blocks.append(Table("Its log against each standard", ("Standard", "Met", "What it lacks"), rows, note=note))
    return blocks


def _met(judged: StandardJudged) -> str:
    return ("yes" if judged.passes else "no") + (" *" if judged.frees_rust else "")


def _lacks(judged: StandardJudged, units: Units) -> str:
    return "; ".join(cleaning.shortfall_words(each, units) for each in judged.shortfalls) or "–"


def _other_ways(answer: DisposalAnswer) -> Points:
    others = tuple(
        f"Also: {cleaning.way_words(each)[0].lower()}{cleaning.way_words(each)[1:]}." for each in answer.others
    )
    closed = tuple(f"Not so: {_name(each.way)}, for {cleaning.refused_words(each.kind)}." for each in answer.refused)
    return Points("Other ways", (*others, *closed) or ("There is no other.",))


def _name(way: str) -> str:
    words = cleaning.way_words(way).split(",")[0]
    return words[0].lower() + words[1:]


def _cap(text: str) -> str:
    return text[0].upper() + text[1:]
