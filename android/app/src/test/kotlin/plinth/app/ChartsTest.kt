package plinth.app

import android.widget.ScrollView
import kotlinx.coroutines.runBlocking
import org.json.JSONObject
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.annotation.Config
import plinth.app.page.ChartView
import plinth.boundary.FileForm
import plinth.core.Block
import plinth.core.Spot
import java.nio.file.Files
import kotlin.io.path.Path
import kotlin.io.path.readLines

/** Charts among the findings, of the invented sets that the vectors import. */
@RunWith(RealRunner::class)
class ChartsTest {
    private fun Lifter.imports() {
        val calls = Path(System.getProperty("plinth.vectors"), "files.jsonl").readLines().map { JSONObject(it).getJSONObject("do") }
        val csv = calls.first { it.optString("form") == "csv" }.getString("document")
        val file = Files.createTempFile("sets", ".csv").toFile().apply { writeText(csv) }
        runBlocking { app.house.ask { it.import(file.path, FileForm.CSV) }.getOrThrow() }
        file.delete()
        settle()
    }

    private val Lifter.charts get() = views().filterIsInstance<ChartView>()

    private fun Lifter.scrollsTo(chart: ChartView) {
        val scroll = views().filterIsInstance<ScrollView>().first()
        scroll.scrollTo(0, chart.top - 60)
        settle()
    }

    private fun looks(name: String) =
        Lifter().use { lifter ->
            lifter.opens().imports()
            lifter.opensPage(Spot.FindingsOf("barbell_back_squat"))
            val drawn = lifter.page.blocks.filterIsInstance<Block.Drawn>()
            assertEquals("the maximum and the curve", 2, drawn.size)
            assertEquals(drawn.map { "${it.chart.title}. ${it.chart.sentence}" }, lifter.charts.map { it.contentDescription })
            assertTrue("a chart stays on the page", lifter.charts.all { it.width in 1..lifter.root.width && it.height > it.width / 4 })
            lifter.charts.forEachIndexed { i, chart ->
                lifter.scrollsTo(chart)
                Golden.check("$name-${i + 1}", lifter.root)
            }
        }

    @Test
    fun `the maximum and the curve are drawn and said`() = looks("charts")

    @Test
    @Config(qualifiers = "+night", fontScale = 2.0f)
    fun `by night and in large text too`() = looks("charts-large-night")
}
