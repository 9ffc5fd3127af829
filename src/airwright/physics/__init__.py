"""Gas, rubber, air, wind: pure functions on floats and arrays, SI throughout.

Nothing here prints, reads files, knows the clock or imports another room (except units).
Import the file you need, for example `from airwright.physics import shape`.
"""
