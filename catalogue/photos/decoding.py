"""How many pictures may be decoded at once: memory stays bounded however many are sent together."""

from threading import BoundedSemaphore

# One for each of the two cores of a modest laptop: the page that is being asked for, and the worker.
AT_MOST_TWO = BoundedSemaphore(2)
