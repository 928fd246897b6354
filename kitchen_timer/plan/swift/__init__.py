"""The local search of search.py and make_way.py as compiled code on plain arrays: many times the rounds a second.

``tables.py`` says what is written where, ``writing.py`` writes a line of courses down and reads it back, ``room.py``
takes and gives, ``money.py`` prices, ``place.py`` places loads, ``changes.py`` has the ideas, ``rounds.py`` keeps what
pays, ``run.py`` is the door; ``ready.py`` knows whether it is there.
"""
