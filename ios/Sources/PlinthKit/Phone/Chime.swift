import Foundation

/// The sound at the end of a rest, drawn here: two short tones, as a WAV file of 16 bits in one channel.
public enum Chime {
    /// The file.
    public static func wave() -> Data {
        let rate = 22_050
        // A fifth apart, with silence between; each swells and fades, so that nothing clicks.
        let parts: [(hertz: Double, seconds: Double)] = [(660, 0.22), (0, 0.08), (990, 0.32)]
        var samples: [Int16] = []
        for part in parts {
            let count = Int(part.seconds * Double(rate))
            for n in 0..<count {
                let swell = min(1, Double(n) / 400, Double(count - n) / 2_000)
                samples.append(Int16(sin(2 * .pi * part.hertz * Double(n) / Double(rate)) * swell * 26_000))
            }
        }
        let bytes = samples.count * 2
        var file = Data("RIFF".utf8) + little(UInt32(36 + bytes)) + Data("WAVEfmt ".utf8)
        file += little(UInt32(16)) + little(UInt16(1)) + little(UInt16(1))
        file += little(UInt32(rate)) + little(UInt32(rate * 2)) + little(UInt16(2)) + little(UInt16(16))
        file += Data("data".utf8) + little(UInt32(bytes))
        for sample in samples { file += little(UInt16(bitPattern: sample)) }
        return file
    }

    private static func little(_ number: some FixedWidthInteger) -> Data {
        withUnsafeBytes(of: number.littleEndian) { Data($0) }
    }
}
