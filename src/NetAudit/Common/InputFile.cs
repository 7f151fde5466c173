using System.Text;

namespace NetAudit.Common;

/// <summary>
/// Reads files that a user names, up to a bound, so that a device or a film in the place of a text does not fill the memory. What cannot
/// be read is an <see cref="IOException"/> or an <see cref="UnauthorizedAccessException"/>. Thread-safe.
/// </summary>
public static class InputFile
{
    /// <summary>Largest text file, in bytes: a hundred times the netlist of a large amplifier.</summary>
    public const int MostBytes = 4_000_000;

    /// <summary>The bytes of a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="most">Largest file taken, in bytes.</param>
    public static byte[] ReadBytes(string path, int most = MostBytes)
    {
        if (string.IsNullOrEmpty(path))
        {
            throw new IOException("its name is empty");
        }
        try
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read);
            return ReadBytes(file, most);
        }
        catch (Exception problem) when (problem is ArgumentException or NotSupportedException)
        {
            throw new IOException(problem.Message, problem);
        }
    }

    /// <summary>The bytes of a stream; it stays open.</summary>
    /// <param name="stream">The stream.</param>
    /// <param name="most">Most bytes taken.</param>
    public static byte[] ReadBytes(Stream stream, int most = MostBytes)
    {
        ArgumentNullException.ThrowIfNull(stream);
        using var bytes = new MemoryStream();
        var buffer = new byte[65_536];
        while (stream.Read(buffer) is > 0 and var count)
        {
            bytes.Write(buffer, 0, count);
            if (bytes.Length > most)
            {
                throw new IOException($"it has more than {most} bytes");
            }
        }
        return bytes.ToArray();
    }

    /// <summary>The text of a file, UTF-8 unless a mark says otherwise.</summary>
    public static string ReadText(string path)
    {
        using var reader = new StreamReader(new MemoryStream(ReadBytes(path)), Encoding.UTF8);
        return reader.ReadToEnd();
    }

    /// <summary>What a reader has left, standard input for example.</summary>
    public static async Task<string> ReadTextAsync(
        TextReader reader,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(reader);
        var text = new StringBuilder();
        var buffer = new char[65_536];
        while (await reader.ReadAsync(buffer, cancellationToken) is > 0 and var count)
        {
            text.Append(buffer, 0, count);
            if (text.Length > MostBytes)
            {
                throw new IOException($"it has more than {MostBytes} characters");
            }
        }
        return text.ToString();
    }
}
