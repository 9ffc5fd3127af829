"""What the pages' scripts ask for: JSON in, JSON out, each answer without what its asker may not
see. Described by /api/openapi.json."""
