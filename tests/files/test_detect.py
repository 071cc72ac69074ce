"""Files as given: read whole, told apart, all faults of all of them at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.files.detect import read_files
from tests.files.samples import JOB, SHOP, SHORT, changed


def put(folder: Path, **texts: str | bytes) -> list[Path]:
    """Write files and return their paths in order."""
    paths = []
    for name, text in texts.items():
        path = folder / f"{name}.toml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        paths.append(path)
    return paths


def test_shop_and_jobs_are_told_apart(tmp_path: Path) -> None:
    """Whatever the order, the shop file is known by its tables, and its zone serves sites without one."""
    loaded = read_files(put(tmp_path, one=JOB, shop=SHOP, two=SHORT))
    assert loaded.shop is not None
    assert loaded.shop.name == "Linden Floor Crew"
    assert [override.key for override in loaded.overrides] == ["pour-leveler"]
    assert [job.number for job in loaded.jobs] == [4, 0]
    assert {job.site.zone for job in loaded.jobs} == {"America/Chicago"}
    assert loaded.sources == ("one.toml", "two.toml")


def test_a_known_shop_lends_its_zone(tmp_path: Path) -> None:
    """Without a shop file the zone given serves sites without one."""
    loaded = read_files(put(tmp_path, two=SHORT), zone="Europe/Berlin")
    assert loaded.shop is None
    assert loaded.jobs[0].site.zone == "Europe/Berlin"


def test_a_byte_order_mark_and_windows_lines_do_not_matter(tmp_path: Path) -> None:
    """A file saved by an editor of Windows is read as any other."""
    text = b"\xef\xbb\xbf" + JOB.replace("\n", "\r\n").encode()
    assert read_files(put(tmp_path, one=text), "UTC").jobs == read_files(put(tmp_path, two=JOB), "UTC").jobs


def test_faults_of_two_files_are_named_together(tmp_path: Path) -> None:
    """Two faults in one file, one in another and a missing third are four sentences, each with its file."""
    one = changed(changed(JOB, "steps = 13", "steps = 0"), '"carpet"', '"karpet"')
    two = changed(SHORT, '"8\'"', '"8"')
    paths = [*put(tmp_path, one=one, shop=SHOP, two=two), tmp_path / "three.toml"]
    with pytest.raises(Refused) as caught:
        read_files(paths)
    assert sorted(sentence.split(":")[0] for sentence in caught.value.sentences) == [
        "one.toml",
        "one.toml",
        "three.toml",
        "two.toml",
    ]


def test_a_faulty_shop_file_is_the_only_one_named(tmp_path: Path) -> None:
    """Jobs that rely on the shop's zone are not blamed for a fault in the shop file."""
    with pytest.raises(Refused) as caught:
        read_files(put(tmp_path, one=JOB, shop=changed(SHOP, '"floating"', '"floting"')))
    assert [sentence.split(":")[0] for sentence in caught.value.sentences] == ["shop.toml"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (b"", "one.toml: the file is empty."),
        (b"  \n\n", "one.toml: the file is empty."),
        (b"\xef\xbb\xbf\n", "one.toml: the file is empty."),
        (b"\x7fELF\0\0\0", "one.toml: this is not a text file."),
        ("title = 'Rém'".encode("latin-1"), "one.toml: the file is not UTF-8 text; save it as UTF-8."),
        ("title = 'x'".encode("utf-16"), "one.toml: this is not a text file."),
        pytest.param(
            b"#" * 1_000_001,
            "one.toml: the file is larger than a megabyte; a job or shop file is a few kilobytes.",
            id="too large",
        ),
        (b"[[happened]]\njob = 1\n", "one.toml: this is a list of what happened, neither a job file nor a shop file."),
    ],
)
def test_a_file_that_is_no_job_file(tmp_path: Path, text: bytes, sentence: str) -> None:
    """Empty, binary, not UTF-8, too large, of another kind: one sentence each."""
    with pytest.raises(Refused) as caught:
        read_files(put(tmp_path, one=text), "UTC")
    assert caught.value.sentences == (sentence,)


def test_missing_files_and_folders(tmp_path: Path) -> None:
    """A missing file, a folder and a name no system allows are one sentence each."""
    with pytest.raises(Refused) as caught:
        read_files([tmp_path, tmp_path / "no.toml", tmp_path / ("x" * 300), Path("a\0b")], "UTC")
    said = caught.value.sentences
    assert len(said) == 4
    assert said[0].endswith("this is a folder; name the files in it.")
    assert said[1] == "no.toml: there is no such file."
    assert all(sentence.isprintable() for sentence in said)


def test_job_numbers_are_given_once(tmp_path: Path) -> None:
    """Two files with one number are named both; files without a number may be many."""
    with pytest.raises(Refused, match=r"two.toml: job number 4 is in one.toml too"):
        read_files(put(tmp_path, one=JOB, two=JOB), "UTC")
    assert len(read_files(put(tmp_path, one=SHORT, two=SHORT), "UTC").jobs) == 2


def test_there_is_one_shop(tmp_path: Path) -> None:
    """Two shop files are refused."""
    with pytest.raises(Refused, match=r"two.toml: one.toml is a shop file too"):
        read_files(put(tmp_path, one=SHOP, two=SHOP))


def test_files_of_one_name_are_told_apart(tmp_path: Path) -> None:
    """Two files of one name in two folders are named with their folders."""
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    paths = [*put(tmp_path / "a", one="x ="), *put(tmp_path / "b", one="x =")]
    with pytest.raises(Refused) as caught:
        read_files(paths, "UTC")
    assert [str(path) in sentence for path, sentence in zip(paths, caught.value.sentences, strict=True)] == [True, True]


def test_a_file_name_cannot_steer_a_terminal(tmp_path: Path) -> None:
    """A control character in a file's own name is shown by its number."""
    with pytest.raises(Refused) as caught:
        read_files([tmp_path / "a\x1b[2Jb.toml"], "UTC")
    assert str(caught.value).startswith(r"a\x1b[2Jb.toml: ")
