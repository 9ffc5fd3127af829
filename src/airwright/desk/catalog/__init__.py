"""What the studio buys, owns and knows: sizes, shades, hardware, gas, and how long work takes."""
