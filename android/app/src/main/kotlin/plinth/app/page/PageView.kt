package plinth.app.page

import android.view.View
import android.widget.LinearLayout
import android.widget.ScrollView
import plinth.app.floor.Notice
import plinth.app.look.Band
import plinth.app.look.Columns
import plinth.app.look.Look
import plinth.app.look.Touch
import plinth.app.look.Weight
import plinth.app.look.button
import plinth.app.look.column
import plinth.app.look.heading
import plinth.app.look.lines
import plinth.app.look.opener
import plinth.core.Block
import plinth.core.Event
import plinth.core.PageButton
import plinth.core.PageEvent
import plinth.core.PageScreen
import plinth.core.Tally

/** A page of a place: its blocks in the order of reading. */
internal class PageView(
    private val look: Look,
    private val mirrored: Boolean = false,
    private val send: (Event) -> Unit,
) : ScrollView(look.context) {
    private val column = look.column()
    private var shown: Triple<PageScreen, String?, List<String>>? = null

    /** What was written on this page and not yet saved, by field. */
    private val typed = mutableMapOf<String, String>()

    init {
        isFillViewport = true
        setPadding(look.px(16), 0, look.px(16), look.px(16))
        clipToPadding = false
        isVerticalScrollBarEnabled = false
        isVerticalFadingEdgeEnabled = true
        setFadingEdgeLength(look.px(24))
        addView(column)
    }

    /** Shows a page, with what was refused of the last event and what the shell has to say. */
    fun show(
        page: PageScreen,
        refused: String? = null,
        notices: List<Notice> = emptyList(),
    ) {
        val new = Triple(page, refused, notices.map { it.text })
        if (new == shown) return
        val before = shown?.first
        val same = before?.title == page.title
        if (!same) typed.clear()
        // What was saved stands on the page now.
        val old =
            before
                ?.blocks
                .orEmpty()
                .filterIsInstance<Block.Entry>()
                .associate { it.field to it.value }
        for (entry in page.blocks.filterIsInstance<Block.Entry>()) if (old[entry.field] != entry.value) typed.remove(entry.field)
        shown = new
        column.removeAllViews()
        add(look.text(page.title, 26, medium = true).heading(), 8)
        (listOfNotNull(refused) + page.told).forEach { add(told(it), 10) }
        notices.forEach { notice ->
            add(told(notice.text), 10)
            notice.actions.forEach { add(look.button(it, TARGET, Weight.OUTLINED), 8) }
        }
        page.blocks.forEach(::block)
        if (!same) scrollTo(0, 0)
    }

    private fun add(
        view: View,
        top: Int,
    ) = column.addView(view, lines(top = look.px(top)))

    /** What the lifter is told, between two rules. */
    private fun told(text: String): View =
        look.column().apply {
            addView(look.ruled(look.ink))
            addView(
                look.text(text, 18, medium = true).apply { accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_POLITE },
                lines(top = look.px(8)),
            )
            addView(look.ruled(look.ink), lines(height = look.px(Look.RULE), top = look.px(8)))
        }

    private fun touch(button: PageButton) = Touch(button) { send(Event.Page(button.event)) }

    private fun block(block: Block) {
        when (block) {
            is Block.Heading -> {
                // Its own height: on a short page anything without one fills the window.
                column.addView(look.ruled(look.ink), lines(height = look.px(Look.RULE), top = look.px(18)))
                add(look.text(block.text, 20, medium = true).heading(), 8)
            }

            is Block.Sentence -> {
                add(look.text(block.text, 17), 8)
            }

            is Block.Caution -> {
                add(Band(look, block.head, block.lines), 10)
            }

            is Block.Line -> {
                add(opener(block.button), 0)
            }

            is Block.Action -> {
                val weight = if (block.wide) Weight.ACT else Weight.OUTLINED
                add(look.button(touch(block.button), if (block.wide) WIDE else TARGET, weight, if (block.wide) 20 else 17), 12)
            }

            is Block.Question -> {
                add(look.text(block.label, 18, medium = true).heading(), 16)
                block.notes.forEach { add(look.text(it, 16, colour = look.soft), 4) }
                add(
                    Columns(look, 4, 1, mirrored).also { grid ->
                        block.buttons.forEach { grid.addView(look.button(touch(it), TARGET)) }
                    },
                    8,
                )
            }

            is Block.Tallies -> {
                block.notes.forEach { add(look.text(it, 16, colour = look.soft), 6) }
                val most = TallyView.most(block.tallies)
                block.tallies.forEach { add(tally(it, most), 8) }
            }

            is Block.Drawn -> {
                add(look.text(block.chart.title, 18, medium = true).heading(), 14)
                add(ChartView(look, block.chart), 6)
                add(look.text(block.chart.about, 16, colour = look.soft), 4)
            }

            is Block.Table -> {
                table(block)
            }

            is Block.Entry -> {
                add(EntryView(look, block, typed) { send(Event.Page(PageEvent.Choose(block.field, it))) }, 16)
            }

            is Block.Words -> {
                words(block)
            }
        }
    }

    /** A line that opens something, ruled below; what it says more stands smaller under it. */
    private fun opener(button: PageButton): View = look.opener(touch(button), TARGET)

    private fun tally(
        tally: Tally,
        most: Int,
    ): View =
        look.column().apply {
            contentDescription = tally.sentence
            isFocusable = true
            addView(look.text(tally.sentence, 16).silent())
            addView(TallyView(look, tally, most), lines(top = look.px(2)))
        }

    private fun <T : View> T.silent(): T = also { it.importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO }

    private fun table(block: Block.Table) {
        add(look.text(block.caption, 18, medium = true).heading(), 14)
        add(TableView(look, block), 6)
    }

    private fun words(block: Block.Words) {
        add(look.text(block.label, 17), 10)
        block.words.chunked(2).forEachIndexed { row, pair ->
            val line = LinearLayout(look.context)
            pair.forEachIndexed { i, word ->
                line.addView(look.text("${2 * row + i + 1}  $word", 19, medium = true), lines(width = 0, weight = 1f))
            }
            add(line, 8)
        }
    }

    companion object {
        /** The least height of what is touched here, dp. */
        const val TARGET = 48
        private const val WIDE = 64
    }
}
