"""The record read: looked for, proven, one job of it handed out, and such a record checked without a store."""
