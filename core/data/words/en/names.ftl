### Names of what the catalogue lists by id. The English names stand in the catalogue's own files.
