"""Signing in: who may, who may not, how often, and that neither words nor work tell which names there are."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, update

from matcher.errors import AccessError, RequestError
from matcher.service.access import add_user, has_users, remember_browser, sign_in, sign_out, user_of
from matcher.service.desk import Desk
from matcher.service.passphrase import hash_passphrase, is_passphrase
from matcher.store.tables import SessionRow, SignInAttempt, UserRow

GOOD = "birch lantern ferry"


@pytest.fixture
def derived(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Record every derivation, at a thousandth of the cost."""
    calls: list[dict[str, Any]] = []
    scrypt = hashlib.scrypt

    def cheap(passphrase: bytes, **options: Any) -> bytes:
        calls.append(options)
        return scrypt(passphrase, **{**options, "n": 2**5})

    monkeypatch.setattr(hashlib, "scrypt", cheap)
    return calls


def refusal(act: Callable[[], object]) -> str:
    with pytest.raises(AccessError) as refused:
        act()
    return str(refused.value)


def test_a_hash_is_scrypt_of_the_parameters_it_names() -> None:
    """Against hashlib, which is OpenSSL's; n = 2^15, r = 8, p = 1 as the work order asks."""
    kept = hash_passphrase(GOOD)
    kind, n, r, p, salt, key = kept.split("$")
    assert (kind, n, r, p) == ("scrypt", str(2**15), "8", "1")
    assert is_passphrase(GOOD, kept)
    assert not is_passphrase(GOOD + ".", kept)
    assert hash_passphrase(GOOD).split("$")[4] != salt
    assert GOOD not in kept
    assert len(salt) == len(key) == 44  # 32 bytes in base64


@pytest.mark.usefixtures("derived")
def test_letters_typed_composed_or_not_are_the_same_passphrase() -> None:
    """RFC 8265, section 4.2.2: the normalization rule of OpaqueString is NFC."""
    typed = "crème brûlée über"
    assert is_passphrase(unicodedata.normalize("NFD", typed), hash_passphrase(unicodedata.normalize("NFC", typed)))


@pytest.mark.usefixtures("derived")
def test_signing_in_and_out(desk: Desk) -> None:
    assert not has_users(desk)
    added = add_user(desk, " Ada  Invented ", GOOD)
    assert has_users(desk)
    assert added.name == "Ada Invented"
    first, second = (sign_in(desk, "ada INVENTED", GOOD, address="a") for _ in range(2))
    assert first != second
    assert len(first) >= 43  # 256 bits in base64
    assert user_of(desk, first) == user_of(desk, second) == added
    sign_out(desk, first)
    sign_out(desk, first)
    assert user_of(desk, first) is None
    assert user_of(desk, second) == added


@pytest.mark.usefixtures("derived")
def test_neither_token_nor_passphrase_is_in_the_store(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    token = sign_in(desk, "Ada", GOOD, address="a")
    with desk.store.database.reading() as session:
        hashes = session.scalars(select(SessionRow.token_hash)).all()
        assert GOOD not in session.scalars(select(UserRow.passphrase_hash)).one()
    assert hashes == [hashlib.sha256(token.encode()).hexdigest()]


@pytest.mark.usefixtures("derived")
def test_a_session_runs_out(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    token = sign_in(desk, "Ada", GOOD, address="a")
    with desk.store.database.writing() as session:
        left = session.scalars(select(SessionRow.expires)).one() - datetime.now(UTC)
        session.execute(update(SessionRow).values(expires=datetime.now(UTC) - timedelta(seconds=1)))
    assert timedelta(hours=11, minutes=59) < left <= timedelta(hours=desk.settings.session_hours)
    assert user_of(desk, token) is None
    sign_in(desk, "Ada", GOOD, address="a")
    with desk.store.database.reading() as session:
        assert len(session.scalars(select(SessionRow)).all()) == 1


def test_unknown_name_and_wrong_passphrase_cost_the_same_and_sound_the_same(
    desk: Desk, derived: list[dict[str, Any]]
) -> None:
    add_user(desk, "Ada", GOOD)
    derived.clear()
    wrong = refusal(lambda: sign_in(desk, "Ada", "birch lantern fairy", address="a"))
    unknown = refusal(lambda: sign_in(desk, "Nobody", GOOD, address="a"))
    assert wrong == unknown
    costs = [{key: options[key] for key in ("n", "r", "p", "maxmem", "dklen")} for options in derived]
    assert len(costs) == 2
    assert costs[0] == costs[1]
    assert costs[0]["n"] == 2**15


def later(desk: Desk, **time: float) -> None:
    """Let time pass: every try that failed was made so much earlier."""
    with desk.store.database.writing() as session:
        for row in session.scalars(select(SignInAttempt)):
            row.tried -= timedelta(**time)


def fail(desk: Desk, name: str, times: int, *, address: str = "192.0.2.1", browser: str = "") -> None:
    for _ in range(times):
        said = refusal(lambda: sign_in(desk, name, "wrong wrong wrong", address=address, browser=browser))
        assert "do not go together" in said


@pytest.mark.usefixtures("derived")
@pytest.mark.parametrize("name", ["Ada", "Nobody"])
def test_after_some_tries_each_next_one_waits_twice_as_long_and_a_minute_at_most(desk: Desk, name: str) -> None:
    add_user(desk, "Ada", GOOD)
    fail(desk, name, desk.settings.sign_in_attempts)
    for seconds in (2, 4, 8, 16, 32, 60, 60, 60):
        assert f"Wait {seconds} seconds" in refusal(lambda: sign_in(desk, name, GOOD, address="192.0.2.1"))
        later(desk, seconds=seconds)
        fail(desk, name, 1)


@pytest.mark.usefixtures("derived")
def test_the_right_passphrase_after_the_wait_signs_in(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    fail(desk, "Ada", desk.settings.sign_in_attempts)
    later(desk, seconds=2)
    assert user_of(desk, sign_in(desk, "Ada", GOOD, address="192.0.2.1"))


@pytest.mark.usefixtures("derived")
def test_tries_that_come_too_early_keep_nobody_away_for_longer(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    fail(desk, "Ada", desk.settings.sign_in_attempts)
    for _ in range(50):
        refusal(lambda: sign_in(desk, "Ada", "wrong wrong wrong", address="192.0.2.1"))
    later(desk, seconds=2)
    assert user_of(desk, sign_in(desk, "Ada", GOOD, address="192.0.2.1"))


@pytest.mark.usefixtures("derived")
def test_eight_failures_of_one_name_keep_no_other_name_out_though_all_come_from_one_proxy(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    add_user(desk, "Bo", GOOD)
    fail(desk, "Ada", desk.settings.sign_in_attempts, address="127.0.0.1")
    assert user_of(desk, sign_in(desk, "Bo", GOOD, address="127.0.0.1"))


@pytest.mark.usefixtures("derived")
def test_many_names_tried_from_one_place_have_to_wait(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    for number in range(desk.settings.sign_in_attempts * 4):
        fail(desk, f"name {number}", 1)
    assert "Wait" in refusal(lambda: sign_in(desk, "Ada", GOOD, address="192.0.2.1"))
    assert user_of(desk, sign_in(desk, "Ada", GOOD, address="192.0.2.2"))


@pytest.mark.usefixtures("derived")
def test_guesses_from_everywhere_slow_down_strangers_and_not_a_browser_that_is_known(desk: Desk) -> None:
    """OWASP, "Slow Down Online Guessing Attacks with Device Cookies"."""
    add_user(desk, "Ada", GOOD)
    browser = remember_browser(desk, sign_in(desk, "Ada", GOOD, address="198.51.100.7"), "")
    for number in range(desk.settings.sign_in_attempts * 10):
        fail(desk, "Ada", 1, address=f"203.0.113.{number}")
    assert "Wait" in refusal(lambda: sign_in(desk, "Ada", GOOD, address="198.51.100.7"))
    assert user_of(desk, sign_in(desk, "Ada", GOOD, address="203.0.113.5", browser=browser))


@pytest.mark.usefixtures("derived")
def test_a_browser_is_known_to_whoever_signed_in_there_and_waits_like_anybody(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    add_user(desk, "Bo", GOOD)
    browser = remember_browser(desk, sign_in(desk, "Ada", GOOD, address="a"), "")
    assert remember_browser(desk, sign_in(desk, "Ada", GOOD, address="a"), browser) == browser
    # For Bo it is a stranger's, and counts with those from its address.
    fail(desk, "Bo", desk.settings.sign_in_attempts, browser=browser)
    assert "Wait" in refusal(lambda: sign_in(desk, "Bo", GOOD, address="192.0.2.1"))
    fail(desk, "Ada", desk.settings.sign_in_attempts, browser=browser)
    assert "Wait" in refusal(lambda: sign_in(desk, "Ada", GOOD, address="192.0.2.1", browser=browser))
    # One that nobody gave out is none.
    assert remember_browser(desk, sign_in(desk, "Ada", GOOD, address="a"), "made up") != "made up"


@pytest.mark.usefixtures("derived")
@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("2001:db8:1:2::1", "2001:db8:1:2:ffff::9", True),  # RFC 6177: one subscriber
        ("2001:db8:1:2::1", "2001:db8:1:3::1", False),
        ("::ffff:192.0.2.9", "192.0.2.9", True),  # RFC 4291, 2.5.5.2
        ("192.0.2.9", "192.0.2.10", False),
        ("browser:x", "192.0.2.10", False),
    ],
)
def test_what_counts_as_one_place(desk: Desk, one: str, other: str, same: bool) -> None:
    add_user(desk, "Ada", GOOD)
    fail(desk, "Ada", desk.settings.sign_in_attempts, address=one)
    if same:
        assert "Wait" in refusal(lambda: sign_in(desk, "Ada", GOOD, address=other))
    else:
        assert user_of(desk, sign_in(desk, "Ada", GOOD, address=other))


@pytest.mark.usefixtures("derived")
def test_after_the_window_nothing_is_held_against_anybody(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    fail(desk, "Ada", desk.settings.sign_in_attempts)
    later(desk, minutes=15, seconds=1)
    fail(desk, "Ada", desk.settings.sign_in_attempts)


@pytest.mark.usefixtures("derived")
def test_ones_own_success_does_not_buy_tries_at_another_name(desk: Desk) -> None:
    add_user(desk, "Ada", GOOD)
    add_user(desk, "Bo", GOOD)
    for _ in range(desk.settings.sign_in_attempts - 1):
        refusal(lambda: sign_in(desk, "Bo", "wrong wrong wrong", address="a"))
    sign_in(desk, "Ada", GOOD, address="a")
    refusal(lambda: sign_in(desk, "Bo", "wrong wrong wrong", address="a"))
    assert "Wait" in refusal(lambda: sign_in(desk, "Bo", GOOD, address="a"))


@pytest.mark.usefixtures("derived")
def test_tries_at_the_same_time_are_counted_one_by_one(desk: Desk) -> None:
    limit = desk.settings.sign_in_attempts
    with ThreadPoolExecutor(8) as pool:
        said = list(
            pool.map(lambda _: refusal(lambda: sign_in(desk, "Nobody", GOOD, address="a")), range(2 * limit)),
        )
    assert sum("do not go together" in words for words in said) == limit


@pytest.mark.usefixtures("derived")
@pytest.mark.parametrize(
    ("name", "passphrase", "words"),
    [
        ("Ada", "nine char", "has 9 characters"),
        ("Ada", "x" * 1001, "1001 characters"),
        ("  ", GOOD, "name: is empty"),
        ("bo  INVENTED", GOOD, "'bo INVENTED' is there already"),
    ],
)
def test_consultants_that_cannot_be_added(desk: Desk, name: str, passphrase: str, words: str) -> None:
    add_user(desk, "Bo Invented", GOOD)
    with pytest.raises(RequestError, match=words):
        add_user(desk, name, passphrase)
    refusal(lambda: sign_in(desk, "Ada", passphrase, address="a"))


@pytest.mark.usefixtures("derived")
@pytest.mark.parametrize("typed", ["", "\0", "\ud800", "x" * 100_000])
def test_anything_typed_is_a_failed_try_and_no_more(desk: Desk, typed: str) -> None:
    refusal(lambda: sign_in(desk, typed, typed, address=typed))
    assert user_of(desk, typed) is None


def test_the_passphrase_file_is_read_as_any_system_writes_it(tmp_path: Path) -> None:
    from matcher.service.passphrase import read_passphrase

    path = tmp_path / "passphrase"
    for content in (GOOD, f"{GOOD}\n", f"{GOOD}\r\nmore", f"\ufeff{GOOD}\n"):
        path.write_bytes(content.encode())
        assert read_passphrase(path) == GOOD
    path.write_bytes(b"\xff")
    with pytest.raises(RequestError, match="UTF-8"):
        read_passphrase(path)
