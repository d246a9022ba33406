"""The reviewer's packet: one HTML file that holds a pool's questions with their evidence.

It opens from an e-mail, needs no network and no installation, and decides nothing: it shows the
question as the student meets it, then the key with certificates that can be checked by hand, and
takes down what the reviewer says, bound to the hash of what was seen.
"""

from itembank.review.document import packet_of_package, packet_of_release
from itembank.review.seen import seen_lines

__all__ = ["packet_of_package", "packet_of_release", "seen_lines"]
