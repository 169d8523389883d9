package plinth.app

import android.graphics.Bitmap
import android.graphics.BitmapFactory
import android.graphics.Canvas
import android.view.View
import org.junit.Assert.assertTrue
import org.junit.Assert.fail
import java.io.File
import kotlin.math.abs

/**
 * Pictures of what is in a window, compared with those under `src/test/golden`. A pixel differs where a channel is off
 * by more than [FAR]; a picture differs where more than [SHARE] of its pixels do: type is smoothed a little otherwise
 * from one machine to another, and a line that moved is more than that.
 */
internal object Golden {
    const val FAR = 48
    const val SHARE = 0.004

    fun draw(view: View): Bitmap {
        val bitmap = Bitmap.createBitmap(view.width, view.height, Bitmap.Config.ARGB_8888)
        view.draw(Canvas(bitmap))
        return bitmap
    }

    /** Compares, or writes anew with `-Dplinth.renew=true`. What was drawn lies in `target/drawn` either way. */
    fun check(
        name: String,
        view: View,
    ): Bitmap {
        val drawn = draw(view)
        write(drawn, File(System.getProperty("plinth.drawn"), "$name.png"))
        val kept = File(System.getProperty("plinth.golden"), "$name.png")
        if (System.getProperty("plinth.renew") == "true") {
            write(drawn, kept)
            return drawn
        }
        if (!kept.exists()) fail("$kept is missing: look at target/drawn/$name.png, and renew (android/README.md)")
        val golden = BitmapFactory.decodeFile(kept.path)
        assertTrue(
            "$name is ${drawn.width} x ${drawn.height}, the golden one ${golden.width} x ${golden.height}",
            golden.width == drawn.width && golden.height == drawn.height,
        )
        val share = difference(golden, drawn)
        assertTrue(
            "$name differs from the golden picture in ${"%.2f".format(share * 100)} % of its pixels; see target/drawn",
            share <= SHARE,
        )
        return drawn
    }

    /** The share of pixels that differ. */
    fun difference(
        one: Bitmap,
        other: Bitmap,
    ): Double {
        val (a, b) = pixels(one) to pixels(other)
        return a.indices.count { far(a[it], b[it]) } / a.size.toDouble()
    }

    fun pixels(bitmap: Bitmap): IntArray =
        IntArray(bitmap.width * bitmap.height).also { bitmap.getPixels(it, 0, bitmap.width, 0, 0, bitmap.width, bitmap.height) }

    private fun far(
        a: Int,
        b: Int,
    ) = (0..2).any { abs((a shr 8 * it and 0xFF) - (b shr 8 * it and 0xFF)) > FAR }

    private fun write(
        bitmap: Bitmap,
        to: File,
    ) {
        to.parentFile?.mkdirs()
        to.outputStream().use { bitmap.compress(Bitmap.CompressFormat.PNG, 100, it) }
    }
}
