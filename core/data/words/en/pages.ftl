### The pages of the places besides the floor.

place-floor = Floor
place-week = Week
place-catalogue = Catalogue
place-findings = Findings
place-locker = Locker

page-back = Back
page-refused-session = A session is open: close it first.
page-refused-gone = That is not there any more.

page-no-week = There is no week yet.
page-make-week = Make a week
