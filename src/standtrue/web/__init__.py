"""The app: pages and an HTTP API, served from the shop's own machine."""
