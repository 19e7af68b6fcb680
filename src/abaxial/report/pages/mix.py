"""The page of one mix: its precautions before all else, how much of what, step by step; or what stands in the way."""

from abaxial.errors import FaultError
from abaxial.label.mixing.card import USUAL
from abaxial.report.answers.mix import MixAnswer
from abaxial.report.answers.plan import Mix
from abaxial.report.blocks import Block, Caution, Line, Page, Points, Precautions, Row, Steps, Table
from abaxial.report.pages.plan.cautions import cautions_told
from abaxial.report.pages.sources import made_in_short
from abaxial.report.words.dates import full_date
from abaxial.report.words.plan.mixing import mix_words
from abaxial.report.words.plan.tasks import wear_words
from abaxial.report.words.quantities import Units, area_words, listed, product_words, volume_words
from abaxial.report.words.speech import say


def mix_page(answer: MixAnswer, units: Units = "metric") -> Page:
    """The blocks of a mix's answer. Raises FaultError where a mix lacks one of its precautions."""
    head = _no_mix(answer, units) if answer.mix is None else _mixed(answer, answer.mix, units)
    invented = " · invented garden" if answer.invented else ""
    kicker = f"Mixing for {answer.planting} ({answer.bed}), {full_date(answer.today)}{invented}"
    unknown = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.unknown))
    tail: list[Block] = [Caution("What we do not know", unknown)] if unknown else []
    return Page(answer.garden, kicker, tuple(head), (), (*tail, made_in_short(answer.passport)))


def _mixed(answer: MixAnswer, mix: Mix, units: Units) -> list[Block]:
    lacking = [kind for kind in USUAL if kind not in {each.kind for each in answer.precautions}]
    if lacking:
        raise FaultError(
            f"The mix for {answer.planting} cannot be shown without its precautions {', '.join(lacking)}.",
            remedy="Give it those of label.mixing.card.",
        )
    told = cautions_told(answer.precautions, units, answer.today)
    blocks: list[Block] = [Line(mix_words(mix, units), _for(answer, units)), Precautions("Before you begin", told)]
    wear = wear_words(answer.wear, answer.precautions)
    if wear:
        blocks.append(Points("What to wear", (wear,)))
    blocks.append(_doses(mix, units))
    notes = tuple(say(each, units, answer.today) for each in answer.notes)
    if notes:
        blocks.append(Points("How much spray", notes))
    blocks.append(Steps("Step by step", tuple(say(each, units, answer.today) for each in mix.steps)))
    return blocks


def _for(answer: MixAnswer, units: Units) -> str:
    ground, leaf = area_words(answer.ground_m2, units), area_words(answer.leaf_area_m2, units)
    return f"For {ground} of ground with {leaf} of leaf, one side counted."


def _doses(mix: Mix, units: Units) -> Table:
    rows = tuple(
        Row(
            each.bottle,
            (product_words(each.per_tankful, each.unit, units), product_words(each.whole, each.unit, units)),
        )
        for each in mix.doses
    )
    water = Row("Water and product", (volume_words(mix.tankful_l, units), volume_words(mix.whole_l, units)))
    note = f"{volume_words(mix.left_over_l, units)} more than the leaves take." if mix.left_over_l > 0 else ""
    return Table("How much", ("What", "In each tankful", "In all"), (*rows, water), note=note)


def _no_mix(answer: MixAnswer, units: Units) -> list[Block]:
    bottles = listed(answer.bottles, most=9) or "this"
    why = tuple(say(each, units, answer.today) for each in (*answer.refusals, *answer.hindrances))
    blocks: list[Block] = [Line(f"No card for mixing {bottles} for {answer.planting}.")]
    return [*blocks, Points("What stands in the way", why)] if why else blocks
