"""Mail: a message built once, looked at, queued, and handed to the studio's own server."""
