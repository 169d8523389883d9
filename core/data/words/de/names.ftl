### Names of what the catalogue lists by id.
