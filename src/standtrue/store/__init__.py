"""What a shop keeps: every version of its documents, what was answered, and the files that belong to it.

One code for SQLite (a file in the shop folder) and PostgreSQL (a server that a company shares). It knows no answer:
what is kept are bytes, and who gave them when.
"""
