package plinth.app.floor

import android.view.View
import android.widget.LinearLayout
import android.widget.ScrollView
import plinth.app.look.Band
import plinth.app.look.Columns
import plinth.app.look.Look
import plinth.app.look.Touch
import plinth.app.look.Weight
import plinth.app.look.WordButton
import plinth.app.look.Yielding
import plinth.app.look.Yielding.Keeps
import plinth.app.look.button
import plinth.app.look.column
import plinth.app.look.heading
import plinth.app.look.lines
import plinth.app.look.row
import plinth.app.phone.Moments
import plinth.core.Choice
import plinth.core.ChoiceRow
import plinth.core.DiscsScreen
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.FloorScreen
import plinth.core.FormScreen
import plinth.core.SetScreen

/** What the shell has to say besides the screen: a line, and what can be done about it. */
internal data class Notice(
    val text: String,
    val actions: List<Touch> = emptyList(),
)

/**
 * The session at hand. The middle scrolls where it must; undo and the wide action stay. The others stand under it, and
 * where they would cover what must be seen, most of them follow at the middle's end. Where the window is crowded
 * ([Look.crowded]) all of them do, and the cautions come before the discs. [mirrored] is for the left hand: actions begin
 * at the left, and in a wide window they stand there.
 */
internal class FloorView(
    private val look: Look,
    private val moments: Moments,
    private val mirrored: Boolean = false,
    private val send: (Event) -> Unit,
) : LinearLayout(look.context) {
    private val column = Yielding(look)
    private val middle = Middle(look, column)
    private val foot = look.column()
    private val sessionLine = SessionLineView(look)
    private val ends = look.text("", 15, colour = look.soft).apply { textAlignment = View.TEXT_ALIGNMENT_VIEW_END }
    private val clock = ClockView(look, moments) { send(Event.Floor(FloorEvent.Tick)) }
    private val hold = HoldView(look, moments, look.mm(LOAD_MM)) { send(Event.Floor(FloorEvent.Tick)) }
    private val wide = WordButton(look)
    private var shown: Lasting? = null
    private var moreOpen = false

    private val others = OtherActions(look)
    private var fill = 0
    private var parted: Triple<Int, Int, Int>? = null

    /** Time goes on: the session line's tick moves, and the display is let go where nothing happens any more. */
    private val beat: Runnable =
        Runnable {
            send(Event.Floor(FloorEvent.Tick))
            goesOn()
        }

    init {
        setPadding(look.px(16), look.px(8), look.px(16), look.px(12))
        if (look.landscape) {
            orientation = HORIZONTAL
            val side = lines(width = 0, height = LayoutParams.MATCH_PARENT, weight = 1f)
            val scroll =
                ScrollView(look.context).apply {
                    fades(look)
                    addView(foot)
                }
            val pair = listOf(middle to side, scroll to LayoutParams(side).apply { weight = FOOT_SHARE })
            (if (mirrored) pair.reversed() else pair).forEachIndexed { i, (view, at) ->
                addView(view, LayoutParams(at).apply { if (i > 0) marginStart = look.px(16) })
            }
        } else {
            orientation = VERTICAL
            addView(middle, lines(height = 0, weight = 1f))
            addView(foot, lines(top = look.px(8)))
        }
    }

    /** Shows a screen; where only the time has changed, nothing else is touched. */
    fun show(
        screen: FloorScreen,
        refused: String? = null,
        notices: List<Notice> = emptyList(),
    ) {
        screen.line?.let {
            sessionLine.show(it)
            ends.text = it.ends
        }
        screen.clock?.let(clock::show)
        screen.set?.hold?.let(hold::show)
        val lasting = Lasting(screen, screen.clock != null, refused, notices)
        val before = shown
        if (before?.same(lasting) == true) {
            // While a hold is counted the wide action says at each second what it would record.
            if (screen.set?.hold != null) screen.wide?.let(::wideSays)
            return
        }
        if (before?.screen?.stable != screen.stable) {
            moreOpen = false
            middle.scrollTo(0, 0)
        }
        shown = lasting
        refill()
        goesOn()
    }

    private fun goesOn() {
        removeCallbacks(beat)
        val open = shown?.screen?.contents?.isEmpty() == true
        if (open && isAttachedToWindow && windowVisibility == VISIBLE) postDelayed(beat, BEAT_MS)
    }

    override fun onAttachedToWindow() {
        super.onAttachedToWindow()
        goesOn()
    }

    override fun onWindowVisibilityChanged(visibility: Int) {
        super.onWindowVisibilityChanged(visibility)
        goesOn()
    }

    override fun onDetachedFromWindow() {
        removeCallbacks(beat)
        super.onDetachedFromWindow()
    }

    /** What is shown besides what time alone moves. */
    private class Lasting(
        val screen: FloorScreen,
        val resting: Boolean,
        val refused: String?,
        val notices: List<Notice>,
    ) {
        fun same(other: Lasting) =
            still(screen) == still(other.screen) && resting == other.resting && refused == other.refused &&
                notices.map { it.text } == other.notices.map { it.text }

        private fun still(screen: FloorScreen) =
            screen.copy(line = null, clock = null, spoken = "", wide = screen.wide.takeIf { screen.set?.hold == null })
    }

    private fun refill() {
        val (screen, refused, notices) = shown?.let { Triple(it.screen, it.refused, it.notices) } ?: return
        others.fill(screen.actions.firstOrNull { it.event is FloorEvent.Wrong }?.label) { actions(screen) }
        fillMiddle(screen, refused, notices)
        fillFoot(screen)
        fill++
    }

    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val now = Triple(fill, widthSpec, heightSpec)
        if (now != parted) {
            parted = now
            others.part(follow = false)
            super.onMeasure(widthSpec, heightSpec)
            val short = if (look.landscape) look.low else column.staying > middle.measuredHeight
            others.part(follow = short && (look.crowded || !moreOpen))
        }
        super.onMeasure(widthSpec, heightSpec)
    }

    private fun actions(screen: FloorScreen): Columns {
        val row = screen.more.takeIf { moreOpen } ?: ChoiceRow("", screen.actions)
        val grid = buttons(row, most = if (look.landscape) 4 else OtherActions.ROW, lines = 3)
        if (look.crowded) more(screen)?.let(grid::addView)
        return grid
    }

    /** Opens what is seldom wanted, and closes it again. */
    private fun more(screen: FloorScreen) =
        screen.more?.let { row ->
            val flip = {
                moreOpen = !moreOpen
                refill()
            }
            look.button(Touch(row.label, row.label, chosen = moreOpen, press = flip), FLOOR, sp = 15)
        }

    private fun press(event: FloorEvent): () -> Unit =
        {
            moreOpen = false
            send(Event.Floor(event))
        }

    private fun fillMiddle(
        screen: FloorScreen,
        refused: String?,
        notices: List<Notice>,
    ) {
        column.removeAllViews()
        if (screen.line != null) {
            column.add(
                look.column().apply {
                    addView(sessionLine.alone())
                    addView(ends.alone())
                },
                keeps = Keeps.YIELDS,
            )
        }
        val form = screen.form
        val set = screen.set
        listOf(clock.label, clock).forEach { it.alone() }
        if (screen.clock != null && form == null) {
            column.add(clock.label, top = look.px(6), keeps = Keeps.YIELDS_LAST)
            column.add(clock, top = look.px(2))
        }
        val resting = screen.clock != null
        when {
            form != null -> formIn(form)
            resting -> Unit
            else -> column.add(name(screen.title), top = look.px(6))
        }
        refused?.let { column.add(look.text(it, 17, medium = true), top = look.px(6)) }
        if (form != null || set == null || resting) tell(screen)
        if (form == null) {
            set?.let { if (resting) nextSet(screen, it) else setAtHand(screen, it) }
            screen.then?.takeIf { !resting }?.let { column.add(look.text(it, 17, colour = look.soft), top = look.px(6)) }
            screen.before.forEach(::rowIn)
            screen.rows.forEach(::rowIn)
            notices.takeIf { screen.contents.isNotEmpty() }.orEmpty().forEach { notice ->
                column.add(look.text(notice.text, 16), top = look.px(12))
                notice.actions.forEach { column.add(look.button(it, FLOOR), top = look.px(6)) }
            }
        }
        if (!look.low) column.add(others.inMiddle, top = look.px(12), keeps = Keeps.FOLLOWS)
    }

    /** What the lifter is told now; what must be done before all else, in the band. */
    private fun tell(screen: FloorScreen) {
        val urgent = screen.told.take(if (screen.wide?.event is FloorEvent.Dial) 1 else 0)
        if (urgent.isNotEmpty()) column.add(Band(look, screen.cautionHead, urgent, sp = 22), top = look.px(12))
        val apart = screen.form != null || urgent.isNotEmpty()
        screen.told.drop(urgent.size).forEachIndexed { i, text ->
            column.add(look.text(text, 17), top = look.px(if (i == 0 && apart) 16 else 6))
        }
    }

    /** A view without a parent, to be put where it now belongs. */
    private fun <T : View> T.alone(): T = also { (it.parent as? android.view.ViewGroup)?.removeView(it) }

    /** A name or what comes next: legible at a metre, and as large as the lifter's text where that is larger. */
    private fun name(text: String) = Name(look, text, maxOf(look.mm(NAME_MM) / CAPITAL, look.sp(20))).heading()

    private fun count(set: SetScreen) = look.text(set.count, 18, colour = look.soft)

    private fun setAtHand(
        screen: FloorScreen,
        set: SetScreen,
    ) {
        column.add(count(set), top = look.px(2))
        set.notes.forEach { column.add(look.text(it, 17), top = look.px(4)) }
        set.load?.let { load ->
            column.add(Figures(look, look.mm(LOAD_MM), look.mm(UNIT_MM), medium = true).apply { text = load }, top = look.px(2))
        }
        hold.alone()
        if (set.hold != null) column.add(hold, top = look.px(2))
        column.add(
            look.row().apply {
                addView(figuresOf(set.amount), lines(width = 0, weight = 1f))
                set.reserve?.let { addView(figuresOf(it), lines(width = LayoutParams.WRAP_CONTENT)) }
            },
        )
        tell(screen)
        if (look.crowded) cautions(screen, set)
        inWords(set.discs)
        if (!look.crowded) cautions(screen, set)
        follows(set)
    }

    private fun nextSet(
        screen: FloorScreen,
        set: SetScreen,
    ) {
        if (!look.crowded) column.add(look.ruled(), top = look.px(6))
        screen.then?.let { column.add(look.text(it, 18, colour = look.soft), top = look.px(6)) }
        if (!look.crowded) column.add(count(set), top = look.px(if (screen.then == null) 6 else 0))
        val short = listOfNotNull(set.load, set.amount, set.reserve).joinToString(", ")
        column.add(name(short).apply { contentDescription = set.sentence })
        column.add(name(set.movement))
        cautions(screen, set)
        if (look.crowded) column.add(count(set), top = look.px(6))
        set.notes.forEach { column.add(look.text(it, 17), top = look.px(4)) }
        inWords(set.discs)
        follows(set)
    }

    /** What was wanted and what the kit makes of it, the bar drawn and loaded, why this load, and the cue. */
    private fun follows(set: SetScreen) {
        set.made?.let { column.add(look.text(it, 17), top = look.px(4)) }
        drawn(set.discs)
        set.because?.let { column.add(look.text(it, 16, colour = look.soft), top = look.px(4), keeps = Keeps.FOLLOWS) }
        set.cue?.let { column.add(look.text(it, 17), top = look.px(8), keeps = Keeps.FOLLOWS) }
    }

    private fun figuresOf(words: String) = Figures(look, look.mm(AMOUNT_MM), look.mm(WORD_MM)).apply { text = words }

    private fun cautions(
        screen: FloorScreen,
        set: SetScreen,
    ) {
        if (!look.low) band(screen, set)?.let { column.add(it, top = look.px(if (look.crowded) 4 else 8)) }
    }

    /** In a low window the cautions stand beside the set, between the actions that stay and the others. */
    private fun besideTheSet(screen: FloorScreen) {
        val set = screen.set.takeIf { screen.form == null } ?: return
        band(screen, set)?.let { foot.addView(it, lines(top = look.px(8))) }
    }

    /** What can hurt, and how to get out. */
    private fun band(
        screen: FloorScreen,
        set: SetScreen,
    ) = (set.cautions + listOfNotNull(set.bailOut)).takeIf { it.isNotEmpty() }?.let { Band(look, screen.cautionHead, it) }

    /** What goes on the bar, and what else must be known of it. */
    private fun inWords(discs: DiscsScreen?) {
        if (discs == null) return
        column.add(look.ruled(), top = look.px(6))
        column.add(look.text("${discs.bar}. ${discs.words}", 18), top = look.px(6))
        discs.notes.forEach { column.add(look.text(it, 16), top = look.px(2)) }
    }

    /** The bar drawn, and how it is loaded from what is on it now. */
    private fun drawn(discs: DiscsScreen?) {
        if (discs == null) return
        if (discs.drawn.isNotEmpty()) column.add(SleeveView(look, discs.drawn), top = look.px(2), keeps = Keeps.FOLLOWS)
        discs.moves.forEach { column.add(look.text(it, 16), top = look.px(2), keeps = Keeps.FOLLOWS) }
    }

    private fun formIn(form: FormScreen) {
        column.add(name(form.title), top = look.px(6))
        form.lines.forEach { column.add(look.text(it, 18), top = look.px(6)) }
        // What the head asks already is not asked again under it.
        form.rows.forEach { rowIn(if (form.title.endsWith(it.label, ignoreCase = true)) it.copy(label = "") else it) }
    }

    private fun rowIn(row: ChoiceRow) {
        if (row.label.isNotEmpty()) column.add(look.text(row.label, 17, medium = true).heading(), top = look.px(12))
        column.add(buttons(row, most = 4, lines = 1), top = look.px(6))
    }

    private fun buttons(
        row: ChoiceRow,
        most: Int,
        lines: Int,
    ) = Columns(look, most, lines, mirrored).also { grid ->
        row.buttons.forEach { grid.addView(look.button(Touch(it, press(it.event)), FLOOR)) }
    }

    private fun fillFoot(screen: FloorScreen) {
        val keep = wide.isAccessibilityFocused
        foot.removeAllViews()
        // On its side a phone's foot may scroll, and the action stands first.
        if (look.landscape) wideIn(screen, keep)
        val undo = screen.undo?.let { look.button(Touch(it, press(it.event)), FLOOR, sp = 15) }
        val more = if (look.crowded) null else more(screen)
        if (undo != null || more != null) {
            val both = listOfNotNull(undo?.let { it to 1f }, more?.let { it to if (undo == null) 1f else 0f })
            val line = look.row()
            (if (mirrored) both.reversed() else both).forEachIndexed { i, (view, weight) ->
                val width = if (weight > 0f) 0 else LayoutParams.WRAP_CONTENT
                line.addView(view, lines(width, LayoutParams.MATCH_PARENT, weight).apply { if (i > 0) marginStart = look.px(8) })
            }
            foot.addView(line, lines(top = if (foot.childCount > 0) look.px(8) else 0))
        }
        if (!look.landscape) wideIn(screen, keep)
        foot.addView(others.inFoot, lines(top = look.px(8)))
        if (look.low) {
            besideTheSet(screen)
            foot.addView(others.inMiddle, lines(top = look.px(8)))
        }
    }

    private fun wideIn(
        screen: FloorScreen,
        focused: Boolean,
    ) {
        screen.wide?.let {
            wideSays(it)
            foot.addView(wide, lines(top = look.px(8)))
            // The same view stands in the new foot, and a reader that was on it is on it again.
            if (focused) wide.performAccessibilityAction(android.view.accessibility.AccessibilityNodeInfo.ACTION_ACCESSIBILITY_FOCUS, null)
        }
    }

    private fun wideSays(choice: Choice) {
        val weight = if (choice.outlined) Weight.OUTLINED else Weight.ACT
        wide.show(Touch(choice, press(choice.event)), WIDE, weight, if (choice.label.length * look.textScale > LONG_LABEL) 17 else 21)
    }

    /** Scrolls, and tells the column how much room there is. */
    private class Middle(
        look: Look,
        private val column: Yielding,
    ) : ScrollView(look.context) {
        init {
            isFillViewport = true
            fades(look)
            addView(column)
        }

        override fun onMeasure(
            widthSpec: Int,
            heightSpec: Int,
        ) {
            if (MeasureSpec.getMode(heightSpec) != MeasureSpec.UNSPECIFIED) column.room = MeasureSpec.getSize(heightSpec)
            super.onMeasure(widthSpec, heightSpec)
        }
    }

    private companion object {
        /** The least height of what is touched on the floor, dp. */
        const val FLOOR = 64
        const val WIDE = 76

        /** Milliseconds from one look at the time to the next: a tick of the session line is a minute or two wide. */
        const val BEAT_MS = 30_000L

        /** Letters of a label, in text of the platform's own size, that would make the wide action high (tried on pictures; no source). */
        const val LONG_LABEL = 44
        const val FOOT_SHARE = 0.8f

        // Heights by ISO 9241-303: 22 minutes of arc at two metres and at one, 16 minutes at one.
        const val LOAD_MM = 13.6f
        const val AMOUNT_MM = 7f
        const val NAME_MM = 4.9f
        const val UNIT_MM = 5f
        const val WORD_MM = 3.6f

        /** Height of a capital in parts of the size of type. */
        const val CAPITAL = 0.71f
    }
}

/** What goes on below the edge fades into it. */
private fun ScrollView.fades(look: Look) {
    isVerticalScrollBarEnabled = false
    isVerticalFadingEdgeEnabled = true
    setFadingEdgeLength(look.px(24))
}
