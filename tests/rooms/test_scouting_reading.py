"""Walks as people write them."""

import tomllib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.errors import ScoutingError
from abaxial.scouting.reading import read_sightings, sightings_csv
from abaxial.scouting.sightings import AMOUNTS, PARTS, Sighting, broken_rule

HERE = Path(".")
DAY = date(2026, 3, 4)


def told(text, folder=HERE):
    tables = tomllib.loads(text)
    return read_sightings([*tables.get("walk", []), *tables.get("walks_file", [])], folder, where="garden.toml")


def walked(seen, folder=HERE):
    return told(f"[[walk]]\non = 2026-03-04\nseen = [{{ {seen} }}]", folder)


def filed(tmp_path, text, encoding="utf-8"):
    (tmp_path / "walks.csv").write_text(text, encoding=encoding)
    return told('[[walks_file]]\nfile = "walks.csv"', tmp_path)


def test_a_walk_says_of_each_planting_what_was_turned_and_rusted():
    seen = told("""
        [[walk]]
        on = 2026-03-04
        by = "Ana"
        minutes = 30
        seen = [
            { planting = "reds", part = "lower", turned = 20, rusted = 3, note = "by the wall" },
            { planting = "golds", amount = "none", by = "Ben" },
        ]
    """)

    assert seen == (
        Sighting("golds", DAY, amount="none", by="Ben"),
        Sighting("reds", DAY, part="lower", turned=20, rusted=3, by="Ana", note="by the wall"),
    )


def test_sightings_come_in_order_of_date_planting_and_part():
    seen = told("""
        [[walk]]
        on = 2026-03-09
        seen = [{ planting = "a", amount = "none" }]
        [[walk]]
        on = 2026-03-04
        seen = [{ planting = "b", part = "upper", amount = "none" }, { planting = "b", part = "lower", amount = "some" }]
    """)

    assert [(each.on.day, each.planting, each.part) for each in seen] == [
        (4, "b", "lower"), (4, "b", "upper"), (9, "a", "any"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        ("severity_percent = 5", 0.05, 0.05),
        ("severity_frac = 0.05", 0.05, 0.05),
        ("severity_percent = [3, 6]", 0.03, 0.06),
        ('scale = "horsfall_barratt", score = 2', 0.03, 0.06),
        ('scale = "modified_cobb", score = 20', 0.074, 0.074),
        ('scale = "five_words", score = "Dotted"', 0.01, 0.05),
    ],
)
def test_a_judged_severity_lies_between_its_limits(written, low, high):
    [seen] = walked(f'planting = "reds", {written}')

    assert (seen.severity_low_frac, seen.severity_high_frac) == pytest.approx((low, high))


def test_none_of_counted_leaves_is_a_count_of_nought():
    [seen] = walked('planting = "reds", turned = 20, amount = "none"')

    assert (seen.amount, seen.turned, seen.rusted) == ("counted", 20, 0)


def test_the_first_pustules_stay_the_first_beside_a_count():
    [seen] = walked('planting = "reds", turned = 20, rusted = 1, amount = "first"')

    assert (seen.amount, seen.rusted) == ("first", 1)


def test_a_share_of_leaves_becomes_whole_leaves():
    [seen] = walked('planting = "reds", turned = 60, incidence_percent = 20')

    assert seen.rusted == 12


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("turned = 20, rusted = 21", "more than the 20 turned"),
        ("turned = 20, rusted = -1", "between 0 and"),
        ("turned = 0, rusted = 0", "between 1 and"),
        ("turned = 2.5, rusted = 0", "whole number"),
        ("turned = true, rusted = 0", "not a number"),
        ('turned = "20", rusted = 0', "not a number"),
        ("turned = inf, rusted = 0", "not a number"),
        ("turned = 1" + "0" * 400 + ", rusted = 0", "not a number"),
        ("turned = 20", "how many had rust"),
        ("rusted = 2", "of how many"),
        ("note = 'nice'", "nothing was seen"),
        ("turned = 20, rusted = 1, part = 'root'", "'root'"),
        ("turned = 20, rusted = 1, unit = 'bed'", "'bed'"),
        ("amount = 'lots'", "'lots'"),
        ("amount = 'none', severity_percent = 2", "rust was written down"),
        ("amount = 'some', turned = 20, rusted = 0", "rust was written down"),
        ("turned = 20, rusted = 0, pustules_per_leaf = 2", "rust was written down"),
        ("turned = 20, rusted = 2, incidence_percent = 50", "2 of 20 is 0.1"),
        ("incidence_percent = 50", "of how many leaves"),
        ("incidence_percent = 50, incidence_frac = 0.5, turned = 10", "given twice"),
        ("severity_percent = 101", "between 0 and 100"),
        ("severity_frac = 5", "between 0 and 1"),
        ("severity_percent = [6, 3]", "must rise"),
        ("severity_percent = [1, 2, 3]", "two limits"),
        ("severity_percent = [1, 'x']", "not a number"),
        ("severity_percent = 1, severity_frac = 0.01", "given by"),
        ("scale = 'horsfall_barratt', score = 12", "no score '12'"),
        ("scale = 'horsfall_barratt', score = 2.5", "no score '2.5'"),
        ("scale = 'modified_cobb', score = 101", "no score '101'"),
        ("scale = '../secret', score = 1", "No severity scale"),
        ("scale = 'percent'", "without a score"),
        ("score = 3", "without its scale"),
        ("pustules_per_leaf = -1", "between 0 and"),
        ("amount = 'some', part = 3", "must be text"),
        ("amount = 'some', by = '" + "x" * 81 + "'", "at most 80"),
        ("amount = 'some', note = 'ring\\u0007'", "cannot be shown"),
        ("amount = 'some', rusty = 3", "Did you mean rusted?"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(written, said):
    written = written.replace("'ring\\u0007'", '"ring\\u0007"')
    with pytest.raises(ScoutingError) as caught:
        walked(f'planting = "reds", {written}')

    assert said in f"{caught.value} {caught.value.remedy}"
    assert "garden.toml, walk 1, seen 1" in str(caught.value)
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[walk]]\nseen = [{ planting = 'a', amount = 'none' }]", "on: it is missing"),
        ("[[walk]]\non = 2026-03-04T07:00:00\nseen = [{ planting = 'a', amount = 'none' }]", "is not a date"),
        ("[[walk]]\non = 'yesterday'\nseen = [{ planting = 'a', amount = 'none' }]", "'yesterday' is not a date"),
        ("[[walk]]\non = 2026-03-04", "nothing is listed"),
        ("[[walk]]\non = 2026-03-04\nseen = []", "nothing is listed"),
        ("[[walk]]\non = 2026-03-04\nseen = [3]", "not a table"),
        ("[[walk]]\non = 2026-03-04\nseen = [{ amount = 'none' }]", "planting: it is missing"),
        ("[[walk]]\non = 2026-03-04\nseen = [{ planting = 7, amount = 'none' }]", "planting: it is 7"),
        ("[[walk]]\non = 2026-03-04\nminutes = -3\nseen = [{ planting = 'a', amount = 'none' }]", "minutes"),
        ("[[walk]]\non = 2026-03-04\nseeen = []", "Did you mean seen?"),
        ("[[walks_file]]\nfile = 'nowhere.csv'", "nowhere.csv cannot be read"),
        ("[[walks_file]]\nfile = '.'", "cannot be read"),
        ("[[walks_file]]\nfile = 7", "must be text"),
        ("[[walks_file]]\nfile = 'a.csv'\nform = 'x'", "nobody here knows it"),
    ],
)
def test_a_walk_that_is_none_is_refused(text, said):
    with pytest.raises(ScoutingError) as caught:
        told(text)

    assert said in f"{caught.value} {caught.value.remedy}"


def test_a_file_of_walks_reads_like_the_walks_themselves(tmp_path):
    seen = filed(
        tmp_path,
        "planting,date,part,amount,leaves_turned,leaves_rusted,severity_percent,by,note\n"
        'reds,2026-03-04,lower,counted,20,3,0.5,Ana,"wet, cold"\n'
        "\n"
        "golds,2026-03-05,,none,,,,,\n",
    )

    assert seen == (
        Sighting(
            "reds", DAY, "lower", "counted", 20, 3, severity_low_frac=0.005, severity_high_frac=0.005,
            by="Ana", note="wet, cold",
        ),
        Sighting("golds", date(2026, 3, 5), amount="none"),
    )  # fmt: skip


def test_a_spreadsheet_may_write_a_mark_semicolons_and_decimal_commas(tmp_path):
    [seen] = filed(tmp_path, "Planting;Date;Severity_percent;;\nreds;2026-03-04;2,5 %;;\n", "utf-8-sig")

    assert seen.severity_low_frac == 0.025


def test_a_severity_in_a_file_may_be_a_stretch(tmp_path):
    [seen] = filed(tmp_path, "planting,date,severity_percent\nreds,2026-03-04,3 - 6\n")

    assert (seen.severity_low_frac, seen.severity_high_frac) == (0.03, 0.06)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no such column"),
        ("planting,date,date\n", "two columns"),
        ("planting,when\n", "line 1, when: nobody here knows it"),
        ("planting,amount\nreds,none\n", "line 1, date: there is no such column"),
        ("planting,date,amount\nreds,4.3.2026,none\n", "line 2, date: '4.3.2026' is not a date"),
        ("planting,date,amount\n,2026-03-04,none\n", "line 2, planting: it is missing"),
        ("planting,date,leaves_turned,leaves_rusted\nreds,2026-03-04,20,-2\n", "line 2, leaves_rusted: it is -2"),
        ("planting,date,leaves_turned,leaves_rusted\nreds,2026-03-04,5,7\n", "leaves_rusted: it is 7, more than"),
        ("planting,date,leaves_turned\nreds,2026-03-04,many\n", "leaves_turned: 'many' is not a number"),
        ("planting,date,incidence_percent,leaves_turned\nreds,2026-03-04,120,10\n", "incidence_percent: it is 120"),
        (
            "planting,date,scale,score\nreds,2026-03-04,horsfall_barratt,twelve\n",
            "score: Horsfall-Barratt scale has no",
        ),
        ("planting,date,amount\nreds,2026-03-04,none,wet, cold\n", "5 cells under 3 columns"),
        ('planting,date,note\nreds,2026-03-04,"open\n', "cannot be read"),
        ("planting,date\nreds,2026-03-04\n", "nothing was seen"),
    ],
)
def test_a_bad_file_is_refused_with_line_and_column(tmp_path, text, said):
    with pytest.raises(ScoutingError) as caught:
        filed(tmp_path, text)

    assert said in str(caught.value)


def test_a_file_that_is_not_text_is_refused(tmp_path):
    (tmp_path / "walks.csv").write_bytes(b"\xff\xfe\x00planting")

    with pytest.raises(ScoutingError, match="not UTF-8"):
        told('[[walks_file]]\nfile = "walks.csv"', tmp_path)


def test_a_gardener_may_bring_a_scale_of_their_own(tmp_path):
    (tmp_path / "scales").mkdir()
    (tmp_path / "scales" / "mine.toml").write_text(
        'name = "mine"\nsource = "practice"\nhow = "practice"\n'
        'class = [{ score = "a", low_frac = 0.0, high_frac = 0.2 }, { score = "b", low_frac = 0.2, high_frac = 1.0 }]\n'
    )

    [seen] = walked('planting = "reds", scale = "mine", score = "b"', tmp_path)

    assert (seen.severity_low_frac, seen.scale) == (0.2, "mine")


@st.composite
def sightings(draw):
    turned = draw(st.none() | st.integers(1, 500))
    rusted = None if turned is None else draw(st.integers(0, turned))
    low = draw(st.none() | st.integers(0, 1000))
    high = None if low is None else draw(st.integers(low, 1000))
    seen = Sighting(
        planting=draw(st.sampled_from(["reds", "golds; by, the wall", 'a "quoted" one'])),
        on=draw(st.dates(date(2020, 1, 1), date(2030, 1, 1))),
        part=draw(st.sampled_from(PARTS)),
        amount=draw(st.sampled_from(["counted", "first"] if turned else AMOUNTS)),
        turned=turned,
        rusted=rusted,
        unit=draw(st.sampled_from(["leaf", "plant"])),
        severity_low_frac=None if low is None else low / 1000,
        severity_high_frac=None if high is None else high / 1000,
        pustules_per_leaf=draw(st.none() | st.floats(0, 1000)),
        by=draw(st.sampled_from(["", "Ana"])),
        note=draw(st.sampled_from(["", "two\nlines", "a, b"])),
    )
    return seen if broken_rule(seen) is None else Sighting(seen.planting, seen.on, amount="some")


@given(st.lists(sightings(), max_size=5))
def test_what_is_written_is_read_again(tmp_path_factory, seen):
    folder = tmp_path_factory.mktemp("walks")

    again = filed(folder, sightings_csv(seen))

    expected = sorted(seen, key=lambda each: (each.on, each.planting, each.part))
    assert [(each.planting, each.on, each.part, each.amount, each.turned, each.rusted) for each in again] == [
        (each.planting, each.on, each.part, each.amount, each.turned, each.rusted) for each in expected
    ]
    assert [(each.severity_low_frac or 0, each.severity_high_frac or 0) for each in again] == [
        pytest.approx((each.severity_low_frac or 0, each.severity_high_frac or 0)) for each in expected
    ]
    assert [(each.pustules_per_leaf, each.by, each.note, each.unit) for each in again] == [
        (each.pustules_per_leaf, each.by, each.note, each.unit) for each in expected
    ]


def test_a_score_is_written_as_the_score_it_was():
    text = sightings_csv(walked('planting = "reds", scale = "horsfall_barratt", score = 4'))

    assert text.splitlines()[1] == "reds,2026-03-04,any,counted,leaf,,,,,all,horsfall_barratt,4,,,"
