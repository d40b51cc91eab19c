"""What the practice problems and the predictions say and ask: content only, one file a chapter."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(__name__, {})
