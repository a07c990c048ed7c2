"""A double of Telegram's Bot API on loopback, strict as the real one.

Beside each rule stands the section of the public documentation (core.telegram.org/bots/api and /bots/faq) that it is
taken from. "Getting updates" was read again; the other sections, and the words of all errors, are from memory.
"""

import os

# The library tells pauses as lengths of time then, as its next major version will, and does not warn about it.
os.environ.setdefault("PTB_TIMEDELTA", "true")
