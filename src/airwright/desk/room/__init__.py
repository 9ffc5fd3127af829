"""The client's room: a photograph of it, what is marked there, and the decor photographed in it."""
