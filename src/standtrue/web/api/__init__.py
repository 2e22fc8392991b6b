"""The HTTP API: the answers of the commands and what they rest on, as JSON, under one address."""
