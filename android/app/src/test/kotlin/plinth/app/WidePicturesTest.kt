package plinth.app

import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment

/** A set and a rest on a phone on its side, on a tablet, and for the left hand. */
@RunWith(RealRunner::class)
class WidePicturesTest {
    private fun draw(
        name: String,
        width: Int,
        height: Int,
        mirrored: Boolean = false,
    ) {
        val shape = if (width > height) "land" else "port"
        RuntimeEnvironment.setQualifiers("en-rUS-w${width}dp-h${height}dp-$shape-notnight-mdpi")
        Lifter().use { lifter ->
            lifter.opensWithWeek().begins().doesASet()
            lifter.ready()
            lifter.check("wide-lifting-$name", mirrored)
            lifter.doesASet()
            lifter.check("wide-resting-$name", mirrored)
        }
    }

    private fun Lifter.check(
        name: String,
        mirrored: Boolean,
    ) {
        if (mirrored) {
            val wall = Wall(activity, app.phone.moments, mirrored = true, app.files, app.house::send) {}
            wall.show(shown, emptyList())
            activity.setContentView(
                android.widget.FrameLayout(activity).apply {
                    setBackgroundColor(activity.getColor(R.color.ground))
                    addView(wall.view)
                },
            )
            settle()
        }
        Golden.check(name, root)
    }

    @Test fun `a phone on its side`() = draw("phone-side", 740, 360)

    @Test fun `a tablet on its side`() = draw("tablet-side", 1280, 800)

    @Test fun `a tablet upright`() = draw("tablet-upright", 800, 1280)

    @Test fun `a phone in the left hand`() = draw("left-hand", 360, 740, mirrored = true)

    @Test fun `a phone on its side in the left hand`() = draw("left-hand-side", 740, 360, mirrored = true)
}
