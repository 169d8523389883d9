package plinth.app.look

import android.os.Build
import android.text.Layout
import android.text.SpannableString
import android.text.Spanned
import android.text.style.ForegroundColorSpan
import android.text.style.RelativeSizeSpan
import android.view.Gravity
import android.view.View
import android.view.ViewGroup
import android.view.accessibility.AccessibilityNodeInfo
import android.widget.Button
import android.widget.LinearLayout
import plinth.app.R
import plinth.core.Choice
import plinth.core.PageButton

/** What a button shows and does, of the floor or of a page. */
internal class Touch(
    val label: String,
    val spoken: String,
    val chosen: Boolean = false,
    val more: List<String> = emptyList(),
    val press: () -> Unit,
) {
    constructor(label: String, press: () -> Unit) : this(label, label, press = press)

    constructor(choice: Choice, press: () -> Unit) : this(choice.label, choice.spoken, choice.chosen, choice.more, press)

    constructor(button: PageButton, press: () -> Unit) : this(button.label, button.spoken, button.chosen, button.more, press)
}

/** How a button stands out. */
internal enum class Weight {
    /** Your turn: filled. */
    ACT,

    /** The wide action when it is not your turn. */
    OUTLINED,

    /** One of several. */
    PLAIN,
}

internal fun lines(
    width: Int = ViewGroup.LayoutParams.MATCH_PARENT,
    height: Int = ViewGroup.LayoutParams.WRAP_CONTENT,
    weight: Float = 0f,
    top: Int = 0,
) = LinearLayout.LayoutParams(width, height, weight).apply { topMargin = top }

internal fun Look.column(): LinearLayout = LinearLayout(context).apply { orientation = LinearLayout.VERTICAL }

internal fun Look.row(): LinearLayout =
    LinearLayout(context).apply {
        orientation = LinearLayout.HORIZONTAL
        gravity = Gravity.CENTER_VERTICAL
    }

/** A button; [least] is the least of its height and width in dp. */
internal fun Look.button(
    touch: Touch,
    least: Number,
    weight: Weight = Weight.PLAIN,
    sp: Number = 16,
): WordButton = WordButton(this).also { it.show(touch, least, weight, sp) }

/** A line that opens something: ruled below, its words large, what it says more smaller. */
internal fun Look.opener(
    touch: Touch,
    least: Number,
): WordButton =
    button(touch, least, sp = 18).also { view ->
        view.gravity = Gravity.START or Gravity.CENTER_VERTICAL
        view.setPadding(0, px(10), 0, px(10))
        if (!touch.chosen) view.background = underlined()
        if (touch.more.isNotEmpty()) {
            val from = touch.label.length
            view.text =
                SpannableString(view.text).apply {
                    setSpan(RelativeSizeSpan(SMALLER), from, length, Spanned.SPAN_EXCLUSIVE_EXCLUSIVE)
                    setSpan(ForegroundColorSpan(soft), from, length, Spanned.SPAN_EXCLUSIVE_EXCLUSIVE)
                }
        }
    }

private const val SMALLER = 0.89f

/** A button with words on it. The same one can show another touch, so that a reader's focus stays on it. */
internal class WordButton(
    private val look: Look,
) : Button(look.context) {
    private var touch: Touch? = null

    init {
        isAllCaps = false
        stateListAnimator = null
        gravity = Gravity.CENTER
        setOnClickListener { touch?.press?.invoke() }
    }

    fun show(
        new: Touch,
        least: Number,
        weight: Weight,
        sp: Number,
    ) {
        touch = new
        val inverted = new.chosen && weight == Weight.PLAIN
        val colour =
            when {
                weight == Weight.ACT -> look.onAct
                inverted -> look.ground
                else -> look.ink
            }
        look.style(this, sp, medium = weight != Weight.PLAIN || inverted, colour = colour)
        text = (listOf(new.label) + new.more).joinToString("\n")
        // No word of a label stands alone on a second line.
        breakStrategy = if (new.more.isEmpty()) Layout.BREAK_STRATEGY_BALANCED else Layout.BREAK_STRATEGY_SIMPLE
        contentDescription = (listOf(new.spoken) + new.more.filter { it !in new.spoken }).joinToString(". ")
        background =
            when {
                weight == Weight.ACT -> look.box(look.ink, look.act, width = 2, pressed = look.act)
                weight == Weight.OUTLINED -> look.box(look.ink, width = 2)
                inverted -> look.box(look.ink, look.ink, pressed = look.ink)
                else -> look.box(look.rule)
            }
        isSelected = new.chosen
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.R) {
            stateDescription = if (new.chosen) context.getString(R.string.chosen) else null
        }
        minHeight = look.px(least)
        minimumHeight = look.px(least)
        minWidth = look.px(least)
        minimumWidth = look.px(least)
        val side = look.px(if (weight == Weight.PLAIN) 8 else 12)
        setPadding(side, look.px(6), side, look.px(6))
        if (new.more.isNotEmpty() && weight == Weight.PLAIN) gravity = Gravity.START or Gravity.CENTER_VERTICAL
    }

    /** Width below which a word would break, in pixels. */
    fun leastWidth(): Int = (widestWord() * NARROWEST).toInt() + 1 + paddingLeft + paddingRight

    private fun widestWord(): Float {
        paint.textScaleX = 1f
        return text.split(' ', '\n').maxOfOrNull { paint.measureText(it) } ?: 0f
    }

    /** A word that is a little too long for its place is drawn a little narrower, and does not break. */
    override fun onMeasure(
        widthSpec: Int,
        heightSpec: Int,
    ) {
        val word = widestWord()
        val room = MeasureSpec.getSize(widthSpec) - paddingLeft - paddingRight
        if (MeasureSpec.getMode(widthSpec) != MeasureSpec.UNSPECIFIED && word > room) textScaleX = (room / word).coerceIn(NARROWEST, 1f)
        super.onMeasure(widthSpec, heightSpec)
    }

    /** The least width at which the label has at most [count] lines; its lines of more are not counted. */
    fun widthForLines(count: Int): Int {
        val words =
            text
                .lines()
                .first()
                .split(' ')
                .filter { it.isNotEmpty() }
        val needed =
            (1..words.size.coerceAtLeast(1)).filter { count > 1 || it == words.size }.minOfOrNull { split ->
                val (one, two) = words.take(split).joinToString(" ") to words.drop(split).joinToString(" ")
                maxOf(paint.measureText(one), paint.measureText(two))
            }
        return maxOf(leastWidth(), (needed ?: 0f).toInt() + 1 + paddingLeft + paddingRight)
    }

    override fun onInitializeAccessibilityNodeInfo(info: AccessibilityNodeInfo) {
        super.onInitializeAccessibilityNodeInfo(info)
        info.isSelected = isSelected
    }

    private companion object {
        /** Narrower than this, words look pressed (tried on pictures; no source). */
        const val NARROWEST = 0.88f
    }
}

/** Marks a heading, so that a reader can go from one to the next. */
internal fun <T : View> T.heading(): T {
    if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.P) isAccessibilityHeading = true
    return this
}
