package plinth.app.look

import android.content.Context
import android.content.res.Configuration
import android.graphics.Color
import android.graphics.Typeface
import android.graphics.drawable.ColorDrawable
import android.graphics.drawable.Drawable
import android.graphics.drawable.GradientDrawable
import android.graphics.drawable.LayerDrawable
import android.graphics.drawable.StateListDrawable
import android.util.TypedValue
import android.view.View
import android.widget.TextView
import plinth.app.R
import kotlin.math.roundToInt

/** The grounds, the ink and the measures that everything is drawn with. */
internal class Look(
    val context: Context,
) {
    private val metrics = context.resources.displayMetrics
    val ground = context.getColor(R.color.ground)
    val panel = context.getColor(R.color.panel)
    val ink = context.getColor(R.color.ink)
    val soft = context.getColor(R.color.soft)
    val rule = context.getColor(R.color.rule)
    val act = context.getColor(R.color.act)
    val onAct = context.getColor(R.color.on_act)

    /** How much larger the lifter wants text than the platform's own size. */
    val textScale: Float = context.resources.configuration.fontScale

    val landscape: Boolean = context.resources.configuration.orientation == Configuration.ORIENTATION_LANDSCAPE

    val heightDp: Int = context.resources.configuration.screenHeightDp

    /** Text is so large on so small a window that what is seldom needed stands apart from what must be seen. */
    val crowded: Boolean = textScale > LARGE && heightDp < TALL

    /** A phone on its side: what must be seen needs both halves of the window. */
    val low: Boolean = landscape && heightDp < LOW

    fun dp(n: Number): Float = n.toFloat() * metrics.density

    fun px(n: Number): Int = dp(n).roundToInt()

    /** Millimetres at 160 dp to the inch. */
    fun mm(n: Number): Float = dp(n.toFloat() * 160f / 25.4f)

    fun sp(n: Number): Float = TypedValue.applyDimension(TypedValue.COMPLEX_UNIT_SP, n.toFloat(), metrics)

    /** A line of text. Figures are of one width. */
    fun text(
        text: CharSequence,
        sp: Number = 17,
        medium: Boolean = false,
        colour: Int = ink,
    ): TextView = TextView(context).also { style(it, sp, medium, colour).text = text }

    fun <T : TextView> style(
        view: T,
        sp: Number,
        medium: Boolean = false,
        colour: Int = ink,
    ): T {
        view.setTextSize(TypedValue.COMPLEX_UNIT_SP, sp.toFloat())
        view.setTextColor(colour)
        view.typeface = if (medium) MEDIUM else Typeface.SANS_SERIF
        view.fontFeatureSettings = TABULAR
        view.setLineSpacing(0f, LEADING)
        view.includeFontPadding = false
        return view
    }

    /** A line across. */
    fun ruled(colour: Int = rule): View =
        View(context).apply {
            setBackgroundColor(colour)
            importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
            layoutParams = lines(height = px(RULE).coerceAtLeast(1))
        }

    /** A square box: its edge, its fill, and another fill while it is pressed. */
    fun box(
        edge: Int,
        fill: Int = Color.TRANSPARENT,
        width: Number = RULE,
        pressed: Int = panel,
    ): Drawable {
        fun shape(colour: Int) =
            GradientDrawable().apply {
                setColor(colour)
                setStroke(px(width).coerceAtLeast(1), edge)
            }
        return StateListDrawable().apply {
            addState(intArrayOf(android.R.attr.state_pressed), shape(pressed))
            addState(intArrayOf(android.R.attr.state_focused), shape(pressed))
            addState(intArrayOf(), shape(fill))
        }
    }

    /** A line below, and the panel's fill while it is pressed. */
    fun underlined(): Drawable {
        fun line(fill: Int): Drawable {
            val layers = LayerDrawable(arrayOf(ColorDrawable(rule), ColorDrawable(fill)))
            layers.setLayerInset(1, 0, 0, 0, px(RULE).coerceAtLeast(1))
            return layers
        }
        return StateListDrawable().apply {
            addState(intArrayOf(android.R.attr.state_pressed), line(panel))
            addState(intArrayOf(android.R.attr.state_focused), line(panel))
            addState(intArrayOf(), line(ground))
        }
    }

    companion object {
        const val RULE = 1.5f
        const val LEADING = 1.12f

        /** From this size of text on, a phone's foot would leave the middle no room (tried on pictures; no source). */
        private const val LARGE = 1.3f

        /** dp: from this height on there is room for both (tried on pictures; no source). */
        private const val TALL = 1000

        /** dp: below this height a half of the window does not hold a set with its caution (tried on pictures; no source). */
        private const val LOW = 480
        const val TABULAR = "tnum"
        val MEDIUM: Typeface = Typeface.create("sans-serif-medium", Typeface.NORMAL)
    }
}
