"""The owner's password, guarded against guessing."""

from django.contrib.auth import authenticate
from django.contrib.auth.models import User

from catalogue.access.models import WrongPassword
from catalogue.access.services import OWNER
from catalogue.access.tries import clear_tries, count_a_try

# Our own figure: a person who mistypes gets five goes.
MOST_FROM_ONE_ADDRESS = 5


def check_password(password: str, address: str) -> User | None:
    """The owner where the password is right; None where it is wrong. Raises TooManyTries.

    A try is counted before the password is looked at: many at the same moment can't slip past the limit.
    """
    counted = count_a_try(WrongPassword, address, MOST_FROM_ONE_ADDRESS, "passwords")
    owner = authenticate(username=OWNER, password=password)
    if owner is not None:
        clear_tries(counted)
    return owner
