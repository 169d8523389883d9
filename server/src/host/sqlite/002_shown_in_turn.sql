-- turn orders the devices of an account by when their cursors moved, the last one greatest: only so many are remembered.
ALTER TABLE shown ADD COLUMN turn INTEGER NOT NULL DEFAULT 0;

UPDATE shown SET turn = numbered.turn
FROM (SELECT account, device, row_number() OVER (PARTITION BY account ORDER BY device) AS turn FROM shown) AS numbered
WHERE numbered.account = shown.account AND numbered.device = shown.device;

CREATE UNIQUE INDEX shown_by_turn ON shown (account, turn);
