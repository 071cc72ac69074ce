"""What a job file cannot be: one clear sentence for each fault, with file, place, key and what would be right."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.files.job_file import read_job
from tests.files.samples import JOB, changed

CENTRAL = "America/Chicago"


def faults_of(text: str) -> tuple[str, ...]:
    """The sentences with which a file is refused."""
    with pytest.raises(Refused) as caught:
        read_job(text, "01.toml", CENTRAL)
    return caught.value.sentences


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('length = "18\' 6"', 'lenght = "18\' 6"', "01.toml: room 'living', key 'lenght': unknown key; did you mean 'length'?"),
        ('width = "13\' 2 1/2"', 'width = "13\' 2 1/2"\nrows = "diagonal"', "key 'rows': 'diagonal' is not known: it is one of along, across."),
        ('width = "13\' 2 1/2"', 'width = "13\' 2 1/2"\njoists = "up"', "key 'joists': 'up' is not known: it is one of along, across."),
        ("steps = 13", "treads = 13", "key 'treads': unknown key; known here: name, steps"),
        ('[[stairs]]', "[xyz]\na = 1\n[[stairs]]", "01.toml: key 'xyz': unknown key"),
        ('name = "Odalys Brandt"', "", "01.toml: customer, key 'name': missing; write its name in quotes."),
        ('carton = "23.33 ft2"', "", "material 'harbor plank', key 'carton': missing; write what one carton covers"),
        ('length = "18\' 6"', 'length = "-18\' 6"', "room 'living', key 'length': '-18' 6' is not a length"),
        ('length = "18\' 6"', 'length = "0 ft"', "room 'living', key 'length': it must be more than zero"),
        ('length = "18\' 6"', "length = 18.5", "key 'length': '18.5' is not a length: put it in quotes with its unit"),
        ('width = "13\' 2 1/2"', "", "room 'living', key 'width': missing; a room has length and width, or corners"),
        ('["0", "9\'"]]', '["-1\'", "9\'"]]', "room 'hall', key 'corners': '-1'' is negative"),
        ('["4\'", "4\'"]', '["4\'", "-4\'"]', "is negative"),
        ('["0", "0"], ["12\'", "0"]', '["12\'", "0"], ["0", "0"]', "room 'hall', key 'corners': sides"),
        ('["0", "9\'"]]', '["0", "9\'", "1"]]', "corners are a list of pairs"),
        ('corners = [', 'length = "3 ft"\ncorners = [', "the room has length or width too"),
        ('length = "9\'" }', 'length = "19\'" }', "key 'sections': section 'door half' gets nothing"),
        ('{ name = "door half" }', '{ name = "door half", length = "9\'" }', "sections must add up to the room's length, 18' 6\""),
        ('name = "window half", length = "9\'"', 'name = "window half"', "section 'window half' needs its length"),
        ('"living: window half"', '"living: widow half"', "key 'stages': 'living: widow half' is no section of this job; did you mean 'living: window half'?"),
        ('["living: door half", "hall"]', '["living: door half"]', "every section of every room is named once"),
        ('"carpet"', '"karpet"', "room 'living', key 'layers', item 1: 'karpet' is not known; did you mean 'carpet'?"),
        ("year = 1966", "year = 66", "layers 2, key 'year': '66' is not between 1600 and 2100"),
        ('"floor vent" = 2', '"floor went" = 2', "fixtures: 'floor went' is not known; did you mean 'floor vent'?"),
        ('"floor vent" = 2', "range = 1", "fixtures: 'range' is not known: say which, gas range or electric range or hard-wired range."),
        ('"floor vent" = 2', "vanity = 1", "fixtures: 'vanity' is not known: it is one of toilet, pedestal sink, gas range"),
        ('"floor vent" = 2', '"floor vent" = 0', "'floor vent': '0' is not between 1 and 200"),
        ('"sofa"', "7", "key 'furniture', item 1: '7' is not a table"),
        ("count = 6", "count = 6.5", "furniture 'dining chair', key 'count': '6.5' is not a whole number"),
        ('["living", "hall"]', '["living", "hal"]', "opening 'living / hal': there is no room 'hal' in this job; there are 'living' and 'hall'."),
        ('["living", "hall"]', '["living", "Hall"]', "opening 'living / Hall': there is no room 'Hall' in this job; there are 'living' and 'hall'."),
        ('["living", "hall"]', '["living"]', "a list does not name two rooms"),
        ('floor = "harbor plank"', 'floor = "harbour plank"', "room 'living': there is no material 'harbour plank' in this job; there is 'harbor plank'."),
        ('"23.33 ft2"', '"2 ft2"', "01.toml: material 'harbor plank': a carton covers 2 ft², less than one of its planks"),
        ('"7 in x 48 in"', '"7 in"', "'7 in' is not the size of a plank"),
        (
            '"7 in x 48 in"', '"7x48"',
            """'7x48' is not the size of a plank: write width x length, each with its unit, such as "7 in x 48 in\"""",
        ),
        ("2026-02-20", "2026-03-20", "01.toml: order of 'harbor plank': due before it was ordered on 2026-03-20"),
        ("cartons = 14", "cartons = 0", "order of 'harbor plank', key 'cartons': '0' is not between 1"),
        ('goods = "stair nose"', 'goods = "stair rail"', "order of 'stair rail (main stairs)', key 'goods': 'stair rail' is not known: it is one of"),
        ('count = 14', 'count = 0', "order of 'stair nose (main stairs)', key 'count': '0' is not between 1"),
        ('count = 14', '', "order of 'stair nose (main stairs)', key 'count': missing; write how many pieces"),
        ('place = "main stairs"', 'place = "back stairs"', "order of 'stair nose (back stairs)': there is no room, opening or stairs 'back stairs' in this job; there are 'living', 'hall', 'main stairs' and 'living / hall'."),
        ('goods = "stair nose"', 'material = "harbor plank"\ngoods = "stair nose"', "key 'goods': an order line is goods with their count, or material with cartons: write two lines"),
        ('cartons = 14', 'count = 14', "order of 'harbor plank', key 'count': it belongs to goods"),
        ('cartons = 14', 'cartons = 14\nplace = "hall"', "order of 'harbor plank', key 'place': it belongs to goods"),
        ('cartons = 14', '', "order of 'harbor plank', key 'cartons': missing; write how many cartons"),
        ('[[order]]\nmaterial = "harbor plank"\ncartons = 14', '[[order]]', "order 1, key 'material': missing; write the name of one of the job's materials with cartons = 14, or goods"),
        ('special = true', 'special = "yes"', "order of 'stair nose (main stairs)', key 'special': 'yes' is neither true nor false"),
        ('"2026-03-05 10:00"', '"2026-02-05 10:00"', "01.toml: order of 'stair nose (main stairs)': due before it was ordered on 2026-02-20"),
        ('elevator = { mon-fri = "9-11" }', 'elevator = { mon-sat = "9-11" }', "site: the elevator is booked sat 09:00-11:00, outside the site's hours that day"),
        ('elevator = { mon-fri = "9-11" }', 'elevator = { mon-fri = "8-10", sat = "9-11" }', "site: the elevator is booked mon-fri 08:00-10:00; sat 09:00-11:00, outside the site's hours those days"),
        ('elevator = { mon-fri = "9-11" }', 'elevator = {}', "site: the elevator has no hours at all"),
        ('elevator = { mon-fri = "9-11" }', 'elevator = "9-11"', "site, key 'elevator': '9-11' is not a table of days"),
        ('"rented toilet in the garage"', 'true', "site, key 'toilet_meanwhile': 'true' is not text"),
        ('"2026-03-06 14:00"', '"2026-02-30 14:00"', "key 'due': '2026-02-30 14:00' does not exist in the calendar"),
        ('"2026-03-06 14:00"', '"2026-03-08 02:30"', "key 'due': 2026-03-08 02:30 does not exist in America/Chicago"),
        ('"2026-03-06 14:00"', "2026-03-06 14:00", 'put date and time in quotes, such as "2026-03-06 14:00"'),
        ("2026-03-13", "2026-02-30", "01.toml: line 4, 'promised = 2026-02-30': there is no such date or time"),
        ("2026-03-13", "2026-03-13\nwished = 2026-03-14", "promised for Fri 13 Mar 2026, before the wished start"),
        ('"Odalys Brandt"', '"Odalys\\u001b[2J"', r"customer, key 'name': 'Odalys\x1b[2J' holds the character \x1b"),
        ('"Living room and hall"', '"Living\\nroom"', "key 'title': 'Living\\x0aroom' runs over several lines"),
        ('"Odalys Brandt"', '""', "customer, key 'name': it is empty"),
        ('"14 Mill Lane, Marrow Bend"', '"14 Mill Lane"\nzone = "Amerika/Chicago"', "site, key 'zone': 'Amerika/Chicago' is not a time zone"),
        ('mon-fri = "9:00-16:00"', 'mon-fry = "9:00-16:00"', "site, hours: 'mon-fry' is not a weekday"),
        ('width = "32 in"', 'width = "32""', "an inch sign ends the quoted text"),
        ("number = 4", "number = 4\nnumber = 5", "line 3, 'number = 5': this key or table is there twice"),
        ("number = 4", "number = -4", "key 'number': '-4' is not between 1"),
        ("number = 4", "number = 0", "key 'number': '0' is not between 1"),
        ("[[material]]", '[[room]]\nname = "Living"\nlength = "9 ft"\nwidth = "8 ft"\n\n[[material]]', "room 'living' and 'Living' are one name (capitals, and how accents are written, do not matter): give each its own."),
        ("[[material]]", '[[room]]\nname = "caf\u00e9"\nlength = "9 ft"\nwidth = "8 ft"\n\n[[room]]\nname = "cafe\u0301"\nlength = "9 ft"\nwidth = "8 ft"\n\n[[material]]', "are one name (capitals, and how accents are written, do not matter)"),
        ("number = 4", "number 4", "line 2, 'number 4': this is not TOML"),
        ("[customer]\nname", "[[customer]]\nname", "key 'customer': a list is not a table"),
        ("[[material]]", "[material]", "material: a table is not a list"),
        ("steps = 13", "steps = 100000", "stairs 'main stairs', key 'steps': '100000' is not between 1 and 200"),
        ("steps = 13", "steps = 13\nflights = 500", "stairs 'main stairs': 500 flights; 13 steps make 1 to 13."),
        ("steps = 13", "steps = 180\nflights = 30", "stairs 'main stairs': 30 flights; 180 steps make 1 to 20."),
        ('width = "32 in"', 'width = "300 ft"', "key 'width': '300 ft' is no width of an opening: more than zero, 40' at most"),
        ('width = "32 in"', 'width = "14\'"', "opening 'living / hall': it is 14' wide, and the longest wall of room 'hall' is 12'."),
        ('kind = "click vinyl"', 'kind = "click vinyl"\npattern = "herring"', "material 'harbor plank', key 'pattern': 'herring' is not known; did you mean 'herringbone'?"),
        ('kind = "click vinyl"', 'kind = "solid wood"\npattern = "grid"', "solid wood is not laid as grid: it is straight, diagonal or herringbone."),
        ('kind = "click vinyl"', 'kind = "click vinyl"\npattern = "diagonal grid"', "a diagonal grid takes square tiles"),
        ('kind = "click vinyl"', 'kind = "click vinyl"\npattern = "grid"\nstagger = "7 in"', "laid as grid it has no stagger and no shortest piece: leave them out."),
        ('kind = "click vinyl"', 'kind = "click vinyl"\njoint = "1/8 in"', "a joint is left between tiles of glue-down vinyl in a grid only"),
        ('kind = "click vinyl"', 'kind = "glue-down vinyl"\npattern = "grid"\njoint = "2 in"', 'a joint of 2"; it is 0 to 1/2".'),
        ('kind = "click vinyl"', 'kind = "click vinyl"\nlengths = ["2 ft", "4 ft"]', "click vinyl comes in planks of one length: leave lengths out."),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = ["2 ft", "6 ft"]', "its longest board is 6' by its lengths and 4' by its plank: write the width alone as plank."),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = ["4 ft"]', "boards of 1 length: random lengths are 2 to 40"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = ["4 ft", "48 in"]', "boards 4' long are there twice"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = ["6 in", "48 in"]', 'a board 6" long: it is no shorter than it is wide (7")'),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = { "2 ft" = 10, "4 ft" = 40 }', "the shares of all lengths sum to 50 percent"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = { "2 ft" = 0, "4 ft" = 100 }', "boards 2' long have a share of 0: it is more than 0 percent"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = { "two" = 50, "4 ft" = 50 }', "material 'harbor plank', lengths: 'two' is not a length"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = { "2 ft" = "half", "4 ft" = 50 }', "'2 ft': 'half' is not a number"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = "2 to 4 ft"', "key 'lengths': '2 to 4 ft' are no lengths of boards: write them with percents"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = []', "there is no length in it"),
        ('kind = "click vinyl"', 'kind = "solid wood"\nplanks = 10\nlengths = ["2 ft", "4 ft"]', "boards of random lengths are bought by what a carton covers: leave planks out."),
        ('kind = "click vinyl"', 'kind = "solid wood"\npattern = "herringbone"\nlengths = ["2 ft", "4 ft"]', "laid as herringbone its boards are of one length: leave lengths out."),
        ('kind = "click vinyl"', 'kind = "click vinyl"\nmethod = "nailed"', "material 'harbor plank': click vinyl is not nailed: it is floating or glued."),
        ('kind = "click vinyl"', 'kind = "laminate"\nmethod = "glued"', "laminate is not glued: it is floating."),
        ('kind = "click vinyl"', 'kind = "glue-down vinyl"\npattern = "grid"\njoint = "-1/8 in"', "key 'joint': '-1/8 in' is negative: a joint or a gap is 0 or more."),
        ('kind = "click vinyl"', 'kind = "click vinyl"\npail = "150 ft2"', "key 'pail': this floor is floating, not glued: leave it out."),
        ('kind = "click vinyl"', 'kind = "glue-down vinyl"\npail = "0.01 ft2"', "a pail covers 0.01 ft²; it is 1 to 1000."),
        ('width = "32 in"', 'width = "32 in"\noffsets = ["2 ft"]', "key 'offsets': offsets are one for each of the two sides, in the order of between, such as walls = [2, 0]"),
        ('width = "32 in"', 'width = "32 in"\nwalls = [1]', "key 'walls': walls are one for each of the two sides, in the order of between, such as walls = [2, 0]"),
        ("count = 6", "count = 6000000", "furniture 'dining chair', key 'count': '6000000' is not between 1 and 200"),
        ("count = 6", "people = 5", "furniture 'dining chair', key 'people': '5' is not between 1 and 4"),
        ('carton = "23.33 ft2"', 'carton = "23.33 ft2"\ncarton_lb = 2000000', "key 'carton_lb': '2000000' is not between 0 and 1000"),
        ("cartons = 14", "cartons = 2000000", "key 'cartons': '2000000' is not between 1 and 10000"),
        ("year = 1966", "year = 2000000", "key 'year': '2000000' is not between 1600 and 2100"),
        ('layers = ["carpet"', 'level = "9000000000 ft2"\nlayers = ["carpet"', "key 'level': '9000000000 ft2' is larger than any house"),
        ("number = 4", "number = 4\ncallback_of = 4", "01.toml: callback of job 4: a job cannot come back to itself"),
        ("number = 4", "number = 4\ncallback_of = 0", "key 'callback_of': '0' is not between 1"),
        ("number = 4", 'number = 4\ncallback_of = "three"', "key 'callback_of': 'three' is not a whole number"),
        ("[[material]]", '[[work]]\nwhat = "shelf off"\nwhere = "attic"\nhours = 1\n[[material]]', "01.toml: work 'shelf off': there is no room or stairs 'attic' in this job"),
        ("[[material]]", '[[work]]\nwhat = "shelf off"\n[[material]]', "work 'shelf off', key 'hours': missing; write how long one person takes"),
        ("[[material]]", '[[work]]\nhours = 2\n[[material]]', "work 1, key 'what': missing; write what is to be done, such as what = "),
        ("[[material]]", '[[work]]\nwhat = "shelf off"\nhours = 1\nminutes = 30\n[[material]]', "work 'shelf off', key 'minutes': the work has hours too"),
        ("[[material]]", '[[work]]\nwhat = "shelf off"\nhours = 0\n[[material]]', "work 'shelf off', key 'hours': '0' is no time to work"),
        ("[[material]]", '[[work]]\nwhat = "shelf off"\nhours = 40.5\n[[material]]', "work 'shelf off', key 'hours': '40.5' is not between 0 and 40"),
        ("[[material]]", '[[work]]\nwhat = "shelf off"\nminutes = 0\n[[material]]', "work 'shelf off', key 'minutes': '0' is not between 1 and 2400"),
        ("[[material]]", '[[work]]\nwhat = "shelf off"\nhours = 1\npeople = 5\n[[material]]', "work 'shelf off', key 'people': '5' is not between 1 and 4"),
        ("count = 14", "count = 2000000", "order of 'stair nose (main stairs)', key 'count': '2000000' is not between 1 and 10000"),
    ],
)  # fmt: skip
def test_each_fault_has_its_sentence(old: str, new: str, sentence: str) -> None:
    """One mistake in a good file: the file is refused, and the sentence says where and what would be right."""
    faults = faults_of(changed(JOB, old, new))
    assert any(sentence in fault for fault in faults), faults
    assert all(fault.startswith("01.toml: ") and fault.isprintable() for fault in faults)


def test_a_single_fault_is_a_single_sentence() -> None:
    """Nothing else is said about a file with one fault."""
    assert len(faults_of(changed(JOB, "steps = 13", "steps = -13"))) == 1


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ([('"7 in x 48 in"', '"3 1/4 in"'), ('kind = "click vinyl"', 'kind = "solid wood"\nlengths = ["two"]')], "'two' is not a length"),
        ([('"7 in x 48 in"', '"3 1/4 in"'), ('kind = "click vinyl"', 'kind = "solid wood"')], "key 'lengths': missing, and '3 1/4 in' is the width alone"),
        ([('kind = "click vinyl"', 'kind = "glue-down vinyl"\npattern = "grit"\njoint = "1/8 in"')], "'grit' is not known"),
    ],
)  # fmt: skip
def test_a_fault_has_no_second_sentence_that_follows_from_it(changes: list[tuple[str, str]], sentence: str) -> None:
    """A bad pattern or bad lengths say nothing of keys that only mean something beside them."""
    text = JOB
    for old, new in changes:
        text = changed(text, old, new)
    (fault,) = faults_of(text)
    assert sentence in fault


def test_all_faults_of_a_file_are_named_at_once() -> None:
    """Seven mistakes, also in names that point nowhere, are seven sentences."""
    text = changed(JOB, 'length = "18\' 6"', 'lenght = "18\' 6"')
    text = changed(text, '"floor vent" = 2', "bidet = 2")
    text = changed(text, '["living", "hall"]', '["living", "hal"]')
    text = changed(text, "steps = 13", "steps = true")
    text = changed(text, '"23.33 ft2"', '"23.33"')
    text = changed(text, "14:00", "25:00")
    text = changed(text, "number = 4", 'number = "four"')
    assert len(faults_of(text)) == 7


@pytest.mark.parametrize(
    ("changes", "sentences"),
    [
        (
            [("ordered = 2026-02-20", "ordred = 1\nordered = 2026-03-20")],
            ["key 'ordred': unknown key", "due before it was ordered on 2026-03-20"],
        ),
        (
            [("cartons = 14", "cartons = 0"), ("2026-02-20", "2026-03-20")],
            ["key 'cartons': '0' is not between", "due before it was ordered on 2026-03-20"],
        ),
        (
            [
                ('{ name = "door half" }', '{ name = "door half", length = "2 ft" }'),
                ('layers = ["carpet"', 'lairs = 1\nlevel = "900 ft2"\nlayers = ["carpot"'),
            ],
            ["key 'lairs': unknown", "'carpot' is not known", "900 ft² to be leveled", "sections must add up"],
        ),
        (
            [
                ('name = "window half", length = "9\'"', 'name = "window half", length = "90\'"'),
                ('layers = ["carpet"', 'level = "900 ft2"\nlayers = ["carpet"'),
            ],
            ["section 'door half' gets nothing", "900 ft² to be leveled"],
        ),
        (
            [('width = "32 in"', 'width = "14\'"\nheight = 3')],
            ["key 'height': unknown key", "it is 14' wide, and the longest wall of room 'hall'"],
        ),
        (
            [("number = 4", "number = 4\nwished = 2026-05-01\nhurry = true"), ("steps = 13", "steps = true")],
            ["key 'hurry': unknown key", "before the wished start", "'true' is not a whole number"],
        ),
        (
            [('"living: door half"', '"living: dor half"'), ('"carpet"', '"karpet"')],
            ["did you mean 'living: door half'?", "did you mean 'carpet'?"],
        ),
        (
            [
                ('"7 in x 48 in"', '"48 in x 7 in"'),
                ('kind = "click vinyl"', 'kind = "click vinyl"\nmethod = "nailed"'),
                ('"23.33 ft2"', '"23.33"'),
            ],
            ["'23.33' is not an area", "is wider than long", "click vinyl is not nailed"],
        ),
        (
            [("steps = 13", "steps = 13\nflights = 14\ntreads = 3")],
            ["key 'treads': unknown key", "14 flights; 13 steps make 1 to 13"],
        ),
        (
            [('goods = "stair nose"', 'goods = "stair rail"'), ('"2026-03-05 10:00"', '"2026-02-05 10:00"')],
            [
                "order of 'stair rail (main stairs)', key 'goods': 'stair rail' is not known",
                "order of 'stair rail (main stairs)': due before it was ordered on 2026-02-20",
            ],
        ),
        (
            [("count = 14", ""), ('"2026-03-05 10:00"', '"2026-02-05 10:00"')],
            ["key 'count': missing", "due before it was ordered on 2026-02-20"],
        ),
        (
            [("[[material]]", '[[work]]\nwhat = "shelf off"\nwhere = "attic"\nhours = 99\n[[material]]')],
            ["work 'shelf off', key 'hours': '99' is not between", "there is no room or stairs 'attic' in this job"],
        ),
        (
            [("count = 14", "count = 0"), ('place = "main stairs"', 'place = "back stairs"')],
            ["key 'count': '0' is not between", "there is no room, opening or stairs 'back stairs'"],
        ),
    ],
)
def test_faults_of_keys_and_faults_between_keys_are_named_together(
    changes: list[tuple[str, str]], sentences: list[str]
) -> None:
    """What does not fit together is said beside what could not be read, each once and nothing more."""
    text = JOB
    for old, new in changes:
        text = changed(text, old, new)
    faults = faults_of(text)
    assert [sum(sentence in fault for fault in faults) for sentence in sentences] == [1] * len(sentences), faults
    assert len(faults) == len(sentences), faults


def test_a_mistyped_key_is_not_called_missing_too() -> None:
    """What a mistyped key meant to say is unknown, so nothing is said about its absence."""
    (fault,) = faults_of(changed(JOB, 'length = "18\' 6"', 'lenght = "18\' 6"'))
    assert "did you mean 'length'?" in fault


def test_two_places_that_would_be_told_alike_are_refused() -> None:
    """A section and a room, or a room and a material, whose tasks would stand at one place: one sentence."""
    text = changed(JOB, 'name = "hall"', 'name = "living, door half"')
    text = changed(text, 'between = ["living", "hall"]', 'between = ["living", "living, door half"]')
    text = changed(text, '"living: door half", "hall"', '"living: door half", "living, door half"')
    assert faults_of(text) == (
        "01.toml: room 'living, door half' and section 'door half' of room 'living' would both be called "
        "'living, door half': give one of them another name.",
    )
    text = JOB.replace("harbor plank", "hall")
    assert faults_of(text) == (
        "01.toml: room 'hall' and material 'hall' would both be called 'hall': give one of them another name.",
    )


def test_a_file_full_of_faults_is_cut_short() -> None:
    """More than fifty faults are counted, not all printed."""
    text = JOB + "".join(f'\n[[room]]\nname = "r{number}"\nlenght = "3 ft"\n' for number in range(80))
    faults = faults_of(text)
    assert len(faults) <= 60
    assert any("more faults" in fault for fault in faults)


def test_a_site_needs_a_zone_when_there_is_no_shop() -> None:
    """Without a shop's zone the site must name its own."""
    with pytest.raises(Refused, match="site, key 'zone': missing; write the time zone"):
        read_job(JOB, "01.toml")


def test_a_job_needs_something_to_floor() -> None:
    """A file without a room or stairs is refused."""
    text = '[customer]\nname = "A"\n[site]\naddress = "B"\n'
    assert faults_of(text) == (
        "01.toml: the job has no room and no stairs: add a [[room]] with name, length and width.",
    )
