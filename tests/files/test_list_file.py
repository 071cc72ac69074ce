"""Lists as spreadsheets write them: encodings, delimiters, headings found."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.files.csv_text import write_csv
from crewjobs.files.list_columns import guessed, known_words, mapped
from crewjobs.files.list_file import parse_list
from crewjobs.files.list_values import Order, Over, order_of, read_day_cell, read_state
from tests import thorough


def parsed(text: str | bytes):
    return parse_list(text if isinstance(text, bytes) else text.encode(), "list.csv", known_words)


@pytest.mark.parametrize("sign", [",", ";", "\t", "|"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_delimiter_and_line_ends_are_found(sign, end):
    """An address with commas in quotes misleads nobody."""
    text = end.join(
        [sign.join(("Client", "Address", "What")), sign.join(("Ida Marsh", '"5 Mill Lane, Marrow Bend"', "Hall"))]
    )
    found = parsed(text)
    assert found.delimiter == sign
    assert found.columns == ("Client", "Address", "What")
    assert found.rows[0].cells == ("Ida Marsh", "5 Mill Lane, Marrow Bend", "Hall")


@pytest.mark.parametrize(
    ("encoding", "named"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("cp1252", "Windows-1252"), ("utf-16", "UTF-16")],
)
def test_the_encoding_is_found(encoding, named):
    """A name with accents reads the same whichever way it was saved."""
    found = parsed("Client;Address\nZoë Pérez;2 Gull Street\n".encode(encoding))
    assert (found.encoding, found.rows[0].cells[0]) == (named, "Zoë Pérez")


def test_an_encoding_that_is_said_is_kept_to():
    """Another country's old encoding cannot be told from Windows-1252 by its bytes."""
    data = "Client;Address\nИрина Орлова;2 Gull Street\n".encode("cp1251")
    assert parse_list(data, "list.csv", known_words, "cp1251").rows[0].cells[0] == "Ирина Орлова"
    assert parse_list("\ufeffClient,Address\nA,B\n".encode(), "list.csv", known_words, "utf-8").columns[0] == "Client"
    for encoding, said in (
        ("utf-8", "it is not in"),
        ("klingon", "no encoding known"),
        ("base64", "no encoding known"),
        ("rot13", "no encoding known"),
    ):
        with pytest.raises(Refused, match=said):
            parse_list(data, "list.csv", known_words, encoding)


def test_lines_above_the_heading_are_no_rows():
    """A title and a date stand above many a list; lines are counted as they are in the file."""
    found = parsed('Jobs of spring;;\n;;\nClient;Address;What\n"Ida\nMarsh";5 Mill Lane;Hall\nTeo;6 Mill Lane;Den\n')
    assert [row.line for row in found.rows] == [4, 6]


def test_a_line_that_says_the_delimiter_is_kept_to():
    """As some spreadsheets write it."""
    assert parsed("sep=;\nClient;Address\nA;B\n").columns == ("Client", "Address")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b" \r\n ", "empty"),
        (b"Client,Address\n", "no row under its heading"),
        (b"PK\x03\x04rest", "a workbook"),
        (b"Client\0,Address\nA,B\n", "not a text file"),
        (b"Client,Address\n\x81\x8d,B\n", "not a text file"),
        (b'Client,Address\n"A,B\n', "line 2: a quote is opened"),
    ],
)
def test_what_is_no_list_is_refused_in_one_sentence(data, said):
    """Nothing of it is guessed."""
    with pytest.raises(Refused, match=said):
        parsed(data)


@settings(max_examples=thorough.examples(300, 60))
@given(
    st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")))
)
def test_any_bytes_are_a_list_or_a_refusal(data):
    """No other error, and every row has as many cells as there are columns, each column a name of its own."""
    with suppress(Refused):
        found = parsed(data)
        assert {len(row.cells) for row in found.rows} == {len(found.columns)}
        assert len({name.casefold() for name in found.columns}) == len(found.columns)


@settings(max_examples=thorough.examples(200, 40))
@given(
    st.lists(
        st.tuples(*[st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=20)] * 2),
        min_size=1,
    )
)
def test_what_export_writes_is_read_as_it_was(rows):
    """Whatever the cells hold, but for blanks around them and rows of blanks alone."""
    found = parsed(write_csv(["customer", "address"], rows, bom=True))
    kept = [tuple(cell.strip() for cell in row) for row in rows if any(cell.strip() for cell in row)]
    assert [row.cells for row in found.rows] == kept


def test_columns_are_known_by_the_words_people_use():
    """Street and town are one address; an area and a seller are nothing a list gives."""
    heading = ("Client Name", "Street", "City", "E-Mail", "Due date", "Floor (ft2)", "Sales rep", "Status")
    assert guessed(heading) == ("customer", "address", "address", "mail", "promised", "", "", "state")


def test_the_columns_of_an_export_are_known():
    """What is exported comes in again without a word said."""
    heading = (
        "job",
        "title",
        "customer",
        "phone",
        "mail",
        "address",
        "zone",
        "year built",
        "drive (min)",
        "state",
        "wished",
        "promised",
    )
    assert mapped(heading, guessed(heading), ("job=",)) == guessed(heading)
    assert dict(zip(heading, guessed(heading), strict=True)) == {
        **{name: name for name in ("title", "customer", "phone", "mail", "address", "state", "wished", "promised")},
        "job": "",
        "zone": "",
        "year built": "year_built",
        "drive (min)": "drive_min",
    }


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("Clint=customer",), "did you mean 'Client'"),
        (("Client=costumer",), "did you mean 'customer'"),
        (("Client",), "maps nothing"),
        (("Client=phone", "What=phone"), "of one column only"),
    ],
)
def test_what_is_mapped_wrong_is_said(words, said):
    """What it is, and what would be right."""
    with pytest.raises(Refused, match=said):
        mapped(("Client", "Address", "What"), ("customer", "address", "title"), words)


def test_what_is_said_outranks_what_was_guessed():
    """The column that was only guessed gives way."""
    assert mapped(("Name", "Tel", "Cell"), ("customer", "phone", ""), ("Cell=phone",)) == ("customer", "", "phone")


@pytest.mark.parametrize(
    ("cell", "order", "iso"),
    [
        ("2026-03-06", None, "2026-03-06"),
        ("2026/3/6", None, "2026-03-06"),
        ("3/6/2026", None, "2026-03-06"),
        ("3/6/26", None, "2026-03-06"),
        ("06.03.2026", None, "2026-03-06"),
        ("3/6/2026", Order.DAY_FIRST, "2026-06-03"),
        ("06.03.2026", Order.MONTH_FIRST, "2026-06-03"),
        ("2026-03-06 00:00:00", None, "2026-03-06"),
    ],
)
def test_days_are_read_as_countries_write_them(cell, order, iso):
    """Year first; with slashes the month, with dots the day, unless the column or the person says otherwise."""
    assert read_day_cell(cell, order).isoformat() == iso


@pytest.mark.parametrize("cell", ["soon", "2026-02-30", "13/13/2026", "45000", "1/2/3", "6 March", "2126-01-01"])
def test_what_is_no_day_is_refused(cell):
    """A spreadsheet's day number is none either."""
    with pytest.raises(Refused):
        read_day_cell(cell, None)


@pytest.mark.parametrize(
    ("cell", "order", "said"),
    [
        ("14/3/26", Order.MONTH_FIRST, "'14/3/26' read month first has a month 14: write year, month and day"),
        ("3/14/26", Order.DAY_FIRST, "'3/14/26' read day first has a month 14"),
        ("30/2/2026", Order.DAY_FIRST, "read day first has a day 30 in February 2026"),
        ("2026-13-01", None, "read year first has a month 13"),
        ("2126-01-01", None, "no day in the calendar of these times"),
    ],
)
def test_it_is_said_how_a_day_that_is_none_was_read(cell, order, said):
    """The fault is the month or the day, not the calendar."""
    with pytest.raises(Refused) as refused:
        read_day_cell(cell, order)
    assert said in str(refused.value)


def test_the_order_is_found_by_days_that_can_be_read_one_way_only():
    """And days that contradict each other are refused."""
    assert order_of(["3/4/2026", "13/4/2026"]) is Order.DAY_FIRST
    assert order_of(["3/4/2026", "4/13/2026"]) is Order.MONTH_FIRST
    assert order_of(["3/4/2026", "2026-04-13"]) is None
    with pytest.raises(Refused, match="the one way and the other"):
        order_of(["13/4/2026", "4/13/2026"])


def test_states_are_read_in_other_peoples_words():
    """A job that is over is left out, another word is a fault."""
    assert [read_state(word).value for word in ("Lead", "Estimate sent", "SOLD")] == ["asked", "quoted", "booked"]
    with pytest.raises(Over):
        read_state("Completed")
    with pytest.raises(Refused, match="no state known here"):
        read_state("blue")
