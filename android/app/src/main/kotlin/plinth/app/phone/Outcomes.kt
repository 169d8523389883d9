package plinth.app.phone

import android.content.Context
import plinth.app.R
import plinth.app.sentences
import plinth.boundary.NotTaken
import plinth.boundary.Outcome

/** How many of those that were not taken are told one by one: more than that is read at a desk. */
private const val MOST_TOLD = 20

/** What an import did, a line each. */
internal fun outcomeLines(
    words: Context,
    outcome: Outcome,
): List<String> =
    when (outcome) {
        is Outcome.Imported -> {
            val (taken, changed, notTaken) = outcome.imported
            val lines = mutableListOf(words.counted(R.plurals.taken, taken.toInt()), words.counted(R.plurals.changed, changed.toInt()))
            if (notTaken.isNotEmpty()) lines += words.counted(R.plurals.refused, notTaken.size)
            notTaken.take(MOST_TOLD).mapTo(lines) { line(words, it) }
            val more = notTaken.size - MOST_TOLD
            if (more > 0) lines += words.counted(R.plurals.refused_more, more)
            lines
        }

        is Outcome.CalledOff -> {
            listOf(words.getString(R.string.called_off))
        }

        is Outcome.Failed -> {
            listOf(words.getString(R.string.not_read, sentences(outcome.error)))
        }

        is Outcome.BackedUp, is Outcome.Drafted -> {
            emptyList()
        }
    }

private fun line(
    words: Context,
    it: NotTaken,
): String {
    val field = it.field
    return if (field == null) {
        words.getString(R.string.refused_line, it.line.toLong(), sentences(it.reason, it.remedy))
    } else {
        words.getString(R.string.refused_field, it.line.toLong(), field, sentences(it.reason, it.remedy))
    }
}

private fun Context.counted(
    id: Int,
    n: Int,
): String = resources.getQuantityString(id, n, n)
