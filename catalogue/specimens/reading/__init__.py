"""A maker's mark as it was read: its value, its words, its form, its drawing, and its ways in and out.

`value` holds the frozen `Reading` with its ways from and to a row, an address and the dating service;
`words` what its attributes are called and the choices to tap; `drawing` draws one; `form` asks for one.
"""
