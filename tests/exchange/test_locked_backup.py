"""A backup under a password: opened by the same format read otherwise, by no other password."""

import zipfile

import pyrage
import pytest

from catalogue.access.startup import restore_swap
from catalogue.exchange.backup import locked
from catalogue.exchange.backup.copying import BackupError
from catalogue.exchange.backup.locked import PasswordRefused
from catalogue.exchange.backup.restore import RestoreError, unpack
from catalogue.exchange.backup.write import back_up_to
from catalogue.exchange.models import BackupRun
from tests.exchange.conftest import fill

pytestmark = pytest.mark.django_db(transaction=True)
PASSWORD = "kelp and cork and tide"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A stand-in for a zip, locked once: making a key from a password takes a second on purpose."""
    folder = tmp_path_factory.mktemp("locked")
    plain = folder / "plain.zip"
    with zipfile.ZipFile(plain, "w") as archive:
        archive.writestr("top/x", b"what was inside" * 10_000)
    target = folder / "locked.zip"
    locked.lock(plain, target, PASSWORD)
    return plain, target


def test_the_format_is_age_as_others_read_it(made):
    """https://age-encryption.org/v1: the header line of both files, and the whole opened step by step."""
    plain, target = made
    with zipfile.ZipFile(target) as archive:
        key, content = archive.read("key.age"), archive.read("backup.zip.age")
        assert b"age -d -i key.age backup.zip.age" in archive.read("how-to-open.txt")
    assert key.startswith(b"age-encryption.org/v1\n-> scrypt ")
    assert content.startswith(b"age-encryption.org/v1\n-> X25519 ")
    identity = pyrage.x25519.Identity.from_str(pyrage.passphrase.decrypt(key, PASSWORD).decode().strip())
    assert pyrage.decrypt(content, [identity]) == plain.read_bytes()


def test_nothing_of_the_inside_can_be_read_from_outside(made):
    assert b"what was inside" not in made[1].read_bytes()


def test_another_password_does_not_open_it(made, tmp_path):
    with pytest.raises(PasswordRefused), locked.opened(made[1], "another password", tmp_path):
        pass
    assert list(tmp_path.iterdir()) == []


def test_one_changed_byte_is_noticed(made, tmp_path):
    content = bytearray(made[1].read_bytes())
    with zipfile.ZipFile(made[1]) as archive:
        begin = archive.getinfo("backup.zip.age").header_offset
    content[begin + 70_000] ^= 1
    spoilt = tmp_path / "spoilt.zip"
    spoilt.write_bytes(content)
    room = tmp_path / "room"
    room.mkdir()
    with pytest.raises(locked.BagError, match="damaged"), locked.opened(spoilt, PASSWORD, room):
        pass
    assert list(room.iterdir()) == []


def test_a_short_password_is_refused_before_anything_is_written(made, tmp_path):
    with pytest.raises(BackupError, match="at least 10 signs"):
        locked.lock(made[0], tmp_path / "x.zip", "short")
    assert list(tmp_path.iterdir()) == []


def test_a_locked_backup_goes_the_whole_way(data_folder, tmp_path):
    fill()
    target, home = tmp_path / "locked.zip", tmp_path / "home"
    home.mkdir()
    back_up_to(target, password=PASSWORD)
    assert BackupRun.objects.get().place == str(target)
    assert locked.is_locked(target)
    with pytest.raises(PasswordRefused, match="is under a password"):
        unpack(target, home)
    with pytest.raises(PasswordRefused, match="doesn't open"):
        unpack(target, home, password="another password")
    assert list(home.iterdir()) == []
    assert unpack(target, home, password=PASSWORD).contents.finds == 2
    assert restore_swap.is_ready(home)
    assert not list(home.glob("opened-*"))


def test_what_is_not_locked_is_not_called_so(made, tmp_path):
    assert not locked.is_locked(made[0])
    assert not locked.is_locked(tmp_path / "gone.zip")
    with pytest.raises(RestoreError, match="don't lie in one folder|is missing"):
        unpack(made[0], tmp_path)
