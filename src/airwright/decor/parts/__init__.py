"""Parts that several kinds of piece are made of: stacks, clouds, toppers, sleeves, fillers."""
