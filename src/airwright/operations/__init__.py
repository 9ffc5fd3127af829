"""What concerns all jobs of a studio together: stock and buying.

Pure: no files, no clock, no database.
"""
