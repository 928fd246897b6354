"""What comes over a socket, before it is a message: text that is JSON, or it is left unread."""

from socketio.packet import Packet

_BINARY = ("5", "6")
"""Kinds of packets that announce binary parts. No message of ours has any, and one that never comes would be waited
for while everything else of that page goes unread."""


class TextPacket(Packet):  # type: ignore[misc]  # python-socketio has no types
    """A Socket.IO packet without binary parts."""

    uses_binary_events = False

    def decode(self, encoded_packet: object) -> int:
        """As python-socketio does; ValueError for what is no packet of text."""
        if not isinstance(encoded_packet, str) or encoded_packet[:1] in _BINARY:
            raise ValueError("binary parts are not taken")
        try:
            count: int = super().decode(encoded_packet)
        except RecursionError:
            raise ValueError("nested too deep") from None
        if self.packet_type == 2 and not (isinstance(self.data, list) and self.data):
            raise ValueError("an event is a list with its name first")
        return count
