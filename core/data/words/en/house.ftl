### The coach's desk: the house.

desk-devices = Devices
desk-devices-yours = Your devices, this browser among them
desk-devices-none = No device is paired.
desk-device = Device
desk-device-program = Program
desk-device-paired = Paired on
desk-device-heard = Last heard from
desk-device-now = Now
desk-device-this = this one
desk-device-revoked = revoked on { $day }
desk-device-revoke = Revoke { $name }
desk-pair = Pair a device
desk-pair-own = Pair another device of yours
desk-pair-about = This pairs one device with the account { $account }, once, within ten minutes. Whoever has it can pair: hand it over in person.
desk-pair-picture = The invitation for { $account }
desk-pair-line = The invitation as one line
desk-pair-address = The address, for a browser
desk-pair-back = Back to the house
desk-grants = What lifters have granted you
desk-grants-about = A lifter grants, changes and withdraws it on their phone; it counts at once.
desk-trail-head = What was done with this account
desk-trail-none = Nothing yet.
desk-house-keeper = Accounts, backups and erasing are with the keeper of this host, who has an account of its own and sees nobody's record.

## For the keeper

desk-keeper-about = Here are the accounts of this house and what looks after them. What a record holds is not shown here.
desk-account-new = A new account, or another device of one
desk-account-new-about = An account that is not there yet is made. Its name is what lifters write into a grant; no other may have it again.
desk-account-name = Account: small letters, digits and hyphens
desk-account-role = Role
desk-account-pair = Make an invitation
desk-accounts = Accounts
desk-accounts-more = More accounts
desk-account = Account
desk-role-lifter = lifter
desk-role-coach = coach
desk-role-host = keeper of the house
desk-backups = Backups
desk-backups-nowhere = This host writes no backups by itself. End it and start it again with --backups and a folder on another disk.
desk-backups-are = { $n ->
    [0] There is no backup yet.
    [one] One backup is there, read from end to end when it was made:
   *[other] { $n } backups are there, each read from end to end when it was made:
}
desk-backup-now = Make a backup now
desk-restore-about = A backup is put back at the machine itself, after this host was ended; every device then offers again what it has, and what was revoked, withdrawn or erased stays so:
desk-erase = Erase the account
desk-erase-about = It goes for good, with its whole record here. The lifter's own devices keep theirs, and can offer it here no more. Backups hold it until they are thinned out.
desk-erase-again = Write { $account } once more
desk-erase-do = Erase { $account } for good
