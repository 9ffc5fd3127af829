"""The client's page: the options with pictures and prices, behind a link of its own."""
