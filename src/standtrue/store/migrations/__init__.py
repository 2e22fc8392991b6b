"""How a store of an older release becomes one of today: one step for each schema. Run by `store.database`."""
